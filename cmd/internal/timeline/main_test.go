package timeline_test

import (
	"flag"
	"fmt"
	"os"
	"testing"
)

func TestMain(m *testing.M) {
	flag.Parse()
	if f := flag.Lookup("rapid.checks"); f.Value.String() == f.DefValue {
		if err := f.Value.Set(days); err != nil {
			fmt.Fprintln(os.Stderr, "rapid.checks:", err)
			os.Exit(1)
		}
	}
	os.Exit(m.Run())
}
