package feed_test

import (
	"errors"
	"testing"
	"time"

	"ovenward/inventory/measure"
	"ovenward/storage/feed"
)

func TestATopicSaysWhoseItsMessagesAre(t *testing.T) {
	t.Parallel()
	named := feed.Topic{Pattern: "shop/+/{sensor}/temp"}
	fixed := feed.Topic{Pattern: "h1/temp", Place: "H1"}
	for _, tt := range []struct {
		t           feed.Topic
		topic, want string
	}{
		{named, "shop/a/T-17/temp", "T-17"}, {named, "shop/a/T-17/hum", ""}, {named, "shop/a/T-17", ""},
		{named, "shop/a/T-17/temp/x", ""}, {named, "shop/a//temp", ""}, {fixed, "h1/temp", "H1"}, {fixed, "h2/temp", ""},
	} {
		if got, ok := tt.t.Match(tt.topic); got != tt.want && ok {
			t.Errorf("%s in %s is of %q, want %q", tt.topic, tt.t.Pattern, got, tt.want)
		}
	}
	if got := named.Filter(); got != "shop/+/+/temp" {
		t.Errorf("filter %q", got)
	}
	for pattern, good := range map[string]bool{"a/{sensor}": true, "a/{sensor}/{sensor}": false, "a/b": false, "a/#": false, "a//{sensor}": false} {
		if err := (feed.Topic{Pattern: pattern}).Check(); (err == nil) != good {
			t.Errorf("pattern %q: %v, want it good: %t", pattern, err, good)
		}
	}
}

func TestAMessageIsANumberOrJSON(t *testing.T) {
	t.Parallel()
	const came measure.Instant = 1_749_124_800_000_000
	clock, err := feed.NewClock("", time.UTC)
	if err != nil {
		t.Fatal(err)
	}
	deep := feed.Topic{Value: "probe.t", Time: "at", Unit: "F"}
	for _, tt := range []struct {
		t             feed.Topic
		payload, temp string
		at            measure.Instant
		field         string
	}{
		{feed.Topic{Unit: "C"}, " 121.5\n", "121.5C", came, ""},
		{feed.Topic{Unit: "C"}, "250 F", "250F", came, ""},
		{deep, `{"at":"2025-06-05T09:40:00Z","probe":{"t":250}}`, "250F", utc(t, "2025-06-05T09:40:00Z"), ""},
		{deep, `{"at":"2025-06-05 09:40","probe":{"t":"121 C"}}`, "121C", utc(t, "2025-06-05T09:40:00Z"), ""},
		{deep, `{"at":"noon","probe":{"t":250}}`, "", 0, "at"},
		{deep, `{"at":"2025-06-05 09:40","probe":250}`, "", 0, "probe.t"},
		{deep, `{`, "", 0, "at"},
		{feed.Topic{}, "121.5", "", 0, "value"},
		{feed.Topic{Unit: "C"}, "nan", "", 0, "value"},
	} {
		r, err := tt.t.Read([]byte(tt.payload), clock, came)
		if bad, ok := errors.AsType[*feed.FieldError](err); tt.field != "" {
			if !ok || bad.Field != tt.field {
				t.Errorf("%s: %v, want an error of %s", tt.payload, err, tt.field)
			}
			continue
		}
		if err != nil || r.At != tt.at || r.Temp != celsius(t, tt.temp) {
			t.Errorf("%s: %s at %s, %v, want %s at %s", tt.payload, r.Temp, r.At, err, tt.temp, tt.at)
		}
	}
}

func FuzzTopic(f *testing.F) {
	f.Add("shop/{sensor}/temp", "shop/T1/temp", `{"a":{"b":1}}`, "a.b")
	f.Add("+/{sensor}", "a/b", "250 F", "")
	clock, err := feed.NewClock("", time.UTC)
	if err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, pattern, topic, payload, path string) {
		in := feed.Topic{Pattern: pattern, Value: path, Unit: "C"}
		if sensor, ok := in.Match(topic); ok && sensor == "" {
			t.Errorf("%q in %q is of nobody", topic, pattern)
		}
		if r, err := in.Read([]byte(payload), clock, 1); err == nil && r.Temp < measure.AbsoluteZero {
			t.Errorf("%q is %s", payload, r.Temp)
		}
	})
}
