package channel

import (
	"fmt"
	"strings"
	"time"

	"ovenward/alerts/alarm"
	"ovenward/inventory/measure"
)

// subject is what a phone shows of a mail: the most urgent first, and in the few
// characters that it has room for.
func subject(m Message) string {
	top, ok := worst(m.Items)
	if !ok {
		return m.Text
	}
	out := strings.ToUpper(top.Priority) + ": " + top.What
	switch {
	case top.over():
		out = "Over: " + top.What
	case top.Left != "":
		out += " (" + top.Left + " left)"
	}
	if more := len(m.Items) - 1; more > 0 {
		out += fmt.Sprintf(" +%d more", more)
	}
	return out + " [" + m.Site + "]"
}

// worst returns the first of the most urgent items; what is over comes last.
func worst(items []Item) (top Item, ok bool) {
	for _, i := range items {
		better := top.over() && !i.over() ||
			top.over() == i.over() && alarm.Priority(i.Priority).Compare(alarm.Priority(top.Priority)) < 0
		if !ok || better {
			top, ok = i, true
		}
	}
	return top, ok
}

func (i Item) over() bool { return i.Event == string(alarm.Clear) || i.Over != 0 }

// letterText is the body of a mail: alarm by alarm what, what to do and until when.
func letterText(m Message, zone *time.Location) string {
	if m.Body != "" || len(m.Items) == 0 {
		return m.Text + "\n\n" + m.Body + footer(m)
	}
	var b strings.Builder
	for _, i := range m.Items {
		b.WriteString(paragraph(i, zone))
		b.WriteString("\n")
	}
	return b.String() + footer(m)
}

func paragraph(i Item, zone *time.Location) string {
	if i.over() {
		return fmt.Sprintf("OVER    %s\n        since %s\n", i.What, clock(i.Over, zone))
	}
	var b strings.Builder
	fmt.Fprintf(&b, "%-7s %s\n", strings.ToUpper(i.Priority), i.What)
	fmt.Fprintf(&b, "        Do: %s\n", i.Action)
	if i.Due != 0 {
		fmt.Fprintf(&b, "        Until: %s", clock(i.Due, zone))
		if i.Left != "" {
			fmt.Fprintf(&b, " (%s left)", i.Left)
		}
		b.WriteString("\n")
	}
	if i.Consequence != "" {
		fmt.Fprintf(&b, "        Else: %s\n", i.Consequence)
	}
	fmt.Fprintf(&b, "        Since: %s", clock(i.Since, zone))
	if i.Late {
		b.WriteString(", told late")
	}
	return b.String() + "\n"
}

func clock(at measure.Instant, zone *time.Location) string {
	return at.Time().In(zone).Format("2006-01-02 15:04 MST")
}

func footer(m Message) string {
	return fmt.Sprintf("\nOvenward, site %s, message %s. Acknowledge with: ovenward alert ack\n", m.Site, m.Key)
}
