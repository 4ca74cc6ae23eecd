package schedule

import "log/slog"

// cronLog lets cron write to a slog logger: its steps are for finding faults, a
// minute that was skipped is for everybody to know. A lane of its own is for
// what takes long, so that there a skipped minute is nothing.
type cronLog struct {
	log  *slog.Logger
	lane string
}

// Info implements cron.Logger.
func (l cronLog) Info(msg string, args ...any) {
	if msg == "skip" && l.lane == "" {
		l.log.Warn("the jobs of the last minute are still running: this minute is skipped")
		return
	}
	l.log.Debug("metronome", append([]any{"step", msg, "lane", l.lane}, args...)...)
}

// Error implements cron.Logger.
func (l cronLog) Error(err error, msg string, args ...any) {
	l.log.Error("job stopped", append([]any{"step", msg, "error", err}, args...)...)
}
