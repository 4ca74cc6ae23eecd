package config

import (
	"path/filepath"

	"ovenward/inventory/measure"
)

// Upkeep is what the watch does for the database every night.
type Upkeep struct {
	Verify *measure.Duration // since midnight on the site's clock; nil: never
	Backup *measure.Duration
	Folder string // of the backups
	Daily  int    // days of which a backup is kept
	Weekly int    // weeks of which one is kept
}

type writtenUpkeep struct {
	Verify string `toml:"verify"`
	Backup string `toml:"backup"`
	Folder string `toml:"backup_folder"`
	Daily  *int   `toml:"keep_daily"`
	Weekly *int   `toml:"keep_weekly"`
}

// How many backups are kept where the file does not say: common practice.
const (
	keepDaily  = 7
	keepWeekly = 5
)

func (r reader) upkeep(w *writtenUpkeep) (u Upkeep, err error) {
	if w == nil {
		return u, nil
	}
	if u.Verify, err = r.nightly("verify", w.Verify); err != nil {
		return u, err
	}
	if u.Backup, err = r.nightly("backup", w.Backup); err != nil {
		return u, err
	}
	u.Folder = w.Folder
	if (u.Backup != nil) != (u.Folder != "") {
		return u, r.fault("backup_folder", "backup and backup_folder go together: when and where to")
	}
	if u.Folder != "" && !filepath.IsAbs(u.Folder) {
		return u, r.fault("backup_folder", "%q: the whole path, from / on", u.Folder)
	}
	if u.Daily, err = r.atLeastNone("keep_daily", w.Daily, keepDaily); err != nil {
		return u, err
	}
	u.Weekly, err = r.atLeastNone("keep_weekly", w.Weekly, keepWeekly)
	return u, err
}

// nightly reads a time of the day; nil where there is none.
func (r reader) nightly(field, text string) (*measure.Duration, error) {
	if text == "" {
		return nil, nil
	}
	d, err := r.clock(field, text)
	if err != nil {
		return nil, err
	}
	return &d, nil
}

// atLeastNone reads a number of things to keep.
func (r reader) atLeastNone(field string, n *int, otherwise int) (int, error) {
	switch {
	case n == nil:
		return otherwise, nil
	case *n < 0:
		return 0, r.fault(field, "%d: a number from 0 on", *n)
	}
	return *n, nil
}
