package disk_test

import (
	"testing"

	"ovenward/cmd/internal/disk"
)

func TestSpaceIsLowBelowATenthAndAlmostGoneBelowAFiftieth(t *testing.T) {
	t.Parallel()
	for free, want := range map[float64][2]bool{0.5: {}, 0.10: {}, 0.0999: {true, false}, 0.02: {true, false}, 0.0199: {true, true}, 0: {true, true}} {
		got := disk.Checks("database", "/srv", free, 0)
		if len(got) != 2 || got[0].Bad != want[0] || got[1].Bad != want[1] || got[0].Subject == got[1].Subject {
			t.Errorf("%g free: %+v, want %t", free, got, want)
		}
	}
}

func TestAFolderThatIsGoneHasNoFreeSpace(t *testing.T) {
	t.Parallel()
	if free, err := disk.Free(t.TempDir()); err != nil || free < 0 || free > 1 {
		t.Errorf("Free = %g, %v, want a share", free, err)
	}
	if free, err := disk.Free("/no/such/folder"); err == nil {
		t.Errorf("Free = %g of a folder that is not there", free)
	}
}
