package main

import (
	"cmp"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"ovenward/cmd/internal/config"
)

// TestTheExampleOfTheWatchIsAFileThatIsRead: what --help shows, with the secrets in
// a folder of the test.
func TestTheExampleOfTheWatchIsAFileThatIsRead(t *testing.T) {
	t.Parallel()
	folder := t.TempDir()
	_, text, _ := strings.Cut(newWatchCommand(&env{}).Description, "With --config FILE")
	var example strings.Builder
	for line := range strings.Lines(strings.ReplaceAll(text, "/etc/ovenward", folder)) {
		if strings.HasPrefix(line, "   ") && !strings.HasPrefix(line, "    ") {
			example.WriteString(strings.TrimLeft(line, " "))
		}
	}
	files := map[string]string{"ovenward.toml": example.String(), "pager.secret": "whsec_MfKQ9r8GKYqrTwjUPD8ILPZIo2LaLaSw"}
	for _, named := range regexp.MustCompile(`_file = ".*/(.*?)"`).FindAllStringSubmatch(example.String(), -1) {
		files[named[1]] = cmp.Or(files[named[1]], "Window-7-Window-7-Window-7-Window-7")
	}
	for name, text := range files {
		if err := os.WriteFile(filepath.Join(folder, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	c, err := config.Read(filepath.Join(folder, "ovenward.toml"), func(string) string { return "Window-7" })
	if err != nil {
		t.Fatalf("%v\n%s", err, &example)
	}
	var got []string
	for _, ch := range c.Channels {
		got = append(got, ch.Name)
	}
	if want := []string{"crib", "chief", "board", "collector", "on-call"}; !slices.Equal(got, want) || c.MQTT == nil {
		t.Errorf("channels %q, want %q", got, want)
	}
}
