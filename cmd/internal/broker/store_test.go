package broker

import (
	"slices"
	"testing"

	"github.com/eclipse/paho.mqtt.golang/packets"
)

// A packet that is taken out is a copy: marking it as a repetition does not change
// what is being sent or what is kept. MQTT 3.1.1, 3.3.1.1, has the mark.
func TestTheStoreHandsOutCopiesInOrder(t *testing.T) {
	t.Parallel()
	s := newStore()
	sent := packets.NewControlPacket(packets.Publish).(*packets.PublishPacket)
	sent.TopicName, sent.Payload, sent.Qos, sent.MessageID = "yard/alarm", []byte("cold"), atLeastOnce, 7
	for _, key := range []string{"o.7", "o.3", "o.9", "o.7"} {
		s.Put(key, sent)
	}
	again, ok := s.Get("o.7").(*packets.PublishPacket)
	if !ok || again.TopicName != sent.TopicName || string(again.Payload) != "cold" || again.MessageID != 7 {
		t.Fatalf("got %v, want the packet that was put", again)
	}
	again.Dup = true
	if kept := s.Get("o.7").(*packets.PublishPacket); sent.Dup || kept.Dup {
		t.Error("a mark on what was taken out shows on what is sent or kept")
	}
	s.Del("o.3")
	if got, want := s.All(), []string{"o.7", "o.9"}; !slices.Equal(got, want) {
		t.Errorf("keys %q, want %q", got, want)
	}
	if s.Get("o.3") != nil {
		t.Error("a key that was deleted is still there")
	}
	s.Reset()
	if got := s.All(); len(got) != 0 {
		t.Errorf("keys %q after a reset", got)
	}
}
