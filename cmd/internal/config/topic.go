package config

import (
	"ovenward/cmd/internal/topic"
	"ovenward/storage/feed"
)

type writtenTopic struct {
	Name   string `toml:"name"`
	Topic  string `toml:"topic"`
	Place  string `toml:"place"`
	Value  string `toml:"value"`
	Time   string `toml:"time"`
	Layout string `toml:"layout"`
	Unit   string `toml:"unit"`
}

// topics reads the tables of topics.
func (r reader) topics(list []writtenTopic) (out []topic.Settings, err error) {
	for i, w := range list {
		at := r.at("readings.topic", w.Name, i)
		s := topic.Settings{Name: w.Name, Layout: w.Layout, Topic: feed.Topic{Pattern: w.Topic, Place: w.Place, Value: w.Value,
			Time: w.Time, Unit: w.Unit}}
		if w.Name == "" {
			return nil, at.fault("name", "a topic has a name")
		}
		if err := s.Check(); err != nil {
			return nil, at.fault("topic", "%v", err)
		}
		if _, err := feed.NewClock(w.Layout, nil); err != nil {
			return nil, at.fault("layout", "%v", err)
		}
		if err := at.unit(w.Unit); err != nil {
			return nil, err
		}
		out = append(out, s)
	}
	return out, nil
}
