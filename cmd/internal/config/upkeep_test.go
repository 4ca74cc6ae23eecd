package config_test

import (
	"testing"

	"ovenward/inventory/measure"
)

func TestUpkeepSaysWhenAndWhereTo(t *testing.T) {
	t.Parallel()
	c, err := read(t, "[upkeep]\nverify = \"02:00\"\nbackup = \"02:30\"\nbackup_folder = \"/mnt/backup\"\nkeep_weekly = 0")
	if err != nil {
		t.Fatal(err)
	}
	u := c.Upkeep
	if u.Verify == nil || *u.Verify != 2*measure.Hour || u.Backup == nil || *u.Backup != 150*measure.Minute ||
		u.Folder != "/mnt/backup" || u.Daily != 7 || u.Weekly != 0 {
		t.Errorf("got %+v", u)
	}
	for _, text := range []string{"verify = \"2 am\"", "verify = \"24:00\"", "backup = \"02:30\"", "backup_folder = \"/mnt/backup\"",
		"backup = \"02:30\"\nbackup_folder = \"copies\"", "verify = \"02:00\"\nkeep_daily = -1", "nightly = true"} {
		if c, err := read(t, "[upkeep]\n"+text); err == nil {
			t.Errorf("%q: %+v, want it refused", text, c.Upkeep)
		}
	}
}
