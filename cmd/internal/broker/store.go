package broker

import (
	"bytes"
	"slices"
	"sync"

	mqtt "github.com/eclipse/paho.mqtt.golang"
	"github.com/eclipse/paho.mqtt.golang/packets"
)

// store keeps what was not answered yet, in the order in which it was sent, for the
// next connection. It keeps bytes: the library's own store hands out the packet that
// is being sent, and marks it as a repetition while it is.
type store struct {
	mu   sync.Mutex
	keys []string
	kept map[string][]byte
}

var _ mqtt.Store = (*store)(nil)

func newStore() *store { return &store{kept: map[string][]byte{}} }

// Open does nothing: what is kept outlives a connection.
func (*store) Open() {}

// Close does nothing.
func (*store) Close() {}

// Put keeps a packet under a key.
func (s *store) Put(key string, p packets.ControlPacket) {
	var text bytes.Buffer
	if err := p.Write(&text); err != nil {
		return // it cannot be sent either, and the library says so
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	if _, known := s.kept[key]; !known {
		s.keys = append(s.keys, key)
	}
	s.kept[key] = text.Bytes()
}

// Get returns a packet of its own, nil for a key that is not there.
func (s *store) Get(key string) packets.ControlPacket {
	s.mu.Lock()
	text, known := s.kept[key]
	s.mu.Unlock()
	if !known {
		return nil
	}
	p, err := packets.ReadPacket(bytes.NewReader(text))
	if err != nil {
		return nil
	}
	return p
}

// All returns the keys, the oldest first.
func (s *store) All() []string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return slices.Clone(s.keys)
}

// Del forgets a key.
func (s *store) Del(key string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	delete(s.kept, key)
	s.keys = slices.DeleteFunc(s.keys, func(k string) bool { return k == key })
}

// Reset forgets all keys.
func (s *store) Reset() {
	s.mu.Lock()
	defer s.mu.Unlock()
	clear(s.kept)
	s.keys = nil
}
