package channel_test

import (
	"context"
	"encoding/json"
	"errors"
	"strings"
	"testing"

	"ovenward/alerts/channel"
)

func TestALogCollectorGetsALineAnAlarm(t *testing.T) {
	t.Parallel()
	m := message("yard-log-9")
	m.Items = append(m.Items, channel.Item{Seq: 9, Event: "cleared", Kind: "oven-cold", Subject: "H2", Priority: "high", Over: noon, At: noon,
		What: "holding oven H2 reads\n130 °C"})
	m.Items[0].At = noon
	var out strings.Builder
	if err := (channel.Lines{W: &out}).Send(t.Context(), m, noon); err != nil {
		t.Fatal(err)
	}
	if err := (channel.Lines{W: &out}).Send(t.Context(), channel.Message{Site: "yard", Key: "l", Text: "yard: shift end", Body: "a\nb"}, noon); err != nil {
		t.Fatal(err)
	}
	want := []string{"2025-06-05T12:00:00Z ERROR yard-log-9/7", "2025-06-05T12:00:00Z INFO yard-log-9/9", "2025-06-05T12:00:00Z INFO l"}
	lines := strings.Split(strings.TrimSpace(out.String()), "\n")
	if len(lines) != len(want) {
		t.Fatalf("%d lines, want %d:\n%s", len(lines), len(want), &out)
	}
	for i, line := range lines {
		var got struct{ Time, Level, Key, Msg string }
		if err := json.Unmarshal([]byte(line), &got); err != nil || got.Time+" "+got.Level+" "+got.Key != want[i] || got.Msg == "" {
			t.Errorf("line %s, %v, want %s", line, err, want[i])
		}
	}
}

// broken takes so many messages and then no more.
type broken struct {
	left int
	got  []string
}

func (b *broken) Publish(_ context.Context, key, topic string, _ []byte) error {
	if b.left--; b.left < 0 {
		return errors.New("the line was cut")
	}
	b.got = append(b.got, key+" "+topic)
	return nil
}

// TestEachAlarmHasATopicAndAKeyOfItsOwn: what was cut off is published again under
// the same keys, by which the receiver knows what it has had.
func TestEachAlarmHasATopicAndAKeyOfItsOwn(t *testing.T) {
	t.Parallel()
	m := message("yard-board-9")
	m.Site = "north/yard"
	m.Items = append(m.Items, channel.Item{Seq: 9, Kind: "no-reading", Subject: "H2"})
	b := &broken{left: 1}
	q := channel.MQTT{Publisher: b, Base: "ovenward"}
	if err := q.Send(t.Context(), m, noon); err == nil {
		t.Fatal("what was not published is no error")
	}
	b.left = 10
	if err := q.Send(t.Context(), m, noon); err != nil {
		t.Fatal(err)
	}
	want := "yard-board-9/7 ovenward/north_yard/alarm/oven-cold, yard-board-9/7 ovenward/north_yard/alarm/oven-cold, yard-board-9/9 ovenward/north_yard/alarm/no-reading"
	if got := strings.Join(b.got, ", "); got != want {
		t.Errorf("published %s, want %s", got, want)
	}
}
