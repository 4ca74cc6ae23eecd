package app

import (
	"context"
	"errors"
	"time"

	"github.com/google/uuid"

	"ovenward/inventory"
	"ovenward/inventory/ledger"
	"ovenward/inventory/ledgerdb"
	"ovenward/inventory/measure"
	"ovenward/migrations/db"
	"ovenward/storage/ovendb"
)

// CloseAfter is how long after its end a sensor's day is closed, so that what
// is read out at midnight is in it.
const CloseAfter = measure.Hour

// watchman is who records what the program itself sees to.
const watchman = "watch"

// CloseDays records the digest of every sensor's day on the site's clock that
// has readings, ended at least CloseAfter before an instant and is not closed
// yet, and returns how many it closed. A day is closed once ever: the fact's id
// follows from the site, the sensor and the day.
func (a *App) CloseDays(ctx context.Context, at measure.Instant) (closed int, err error) {
	open, err := a.openDays(ctx, at)
	if err != nil {
		return 0, err
	}
	for _, e := range open {
		done, err := a.Record(ctx, Request{ID: a.dayID(e), At: at, Noted: at, By: watchman, Entry: e})
		if err != nil {
			return closed, err
		}
		if !done.Repeat {
			closed++
		}
	}
	return closed, nil
}

// dayID returns the id of the fact that closes a day.
func (a *App) dayID(e *inventory.DayClosed) string {
	name := "ovenward day\x00" + a.Site + "\x00" + e.Sensor + "\x00" + e.Day
	return uuid.NewSHA1(uuid.NameSpaceOID, []byte(name)).String()
}

// openDays returns the days that are due to be closed, with their digests.
func (a *App) openDays(ctx context.Context, at measure.Instant) (open []*inventory.DayClosed, err error) {
	err = a.read(ctx, at, func(v *view) error {
		open = nil
		sensors, err := ovendb.Sensors(v.ctx, v.tx, v.site, "")
		if err != nil {
			return err
		}
		for _, s := range sensors {
			list, err := v.openDaysOf(s.Name)
			if err != nil {
				return err
			}
			open = append(open, list...)
		}
		return nil
	})
	return open, err
}

// openDaysOf steps through the days on which a sensor was read.
func (v *view) openDaysOf(sensor string) (open []*inventory.DayClosed, err error) {
	for from := measure.Instant(0); ; {
		first, err := ovendb.FirstFrom(v.ctx, v.tx, v.site, sensor, from)
		if err != nil || first == 0 {
			return open, err
		}
		day := measure.DateOf(first, v.zone)
		from = day.End(v.zone)
		if from.Add(CloseAfter) > v.at {
			return open, nil
		}
		e := &inventory.DayClosed{Sensor: sensor, Day: string(day)}
		_, err = ledgerdb.ByID(v.ctx, v.tx, v.site, v.app.dayID(e))
		if err == nil {
			continue
		}
		if !errors.Is(err, db.ErrNotFound) {
			return nil, err
		}
		if e.Readings, e.Digest, err = v.digest(sensor, day, v.zone); err != nil {
			return nil, err
		}
		open = append(open, e)
	}
}

// digest returns the number and the digest of a sensor's readings on a day of a
// zone's clock.
func (v *view) digest(sensor string, day measure.Date, zone *time.Location) (int64, string, error) {
	return ovendb.Digest(v.ctx, v.tx, v.site, sensor, day.AddDays(-1).End(zone), day.End(zone))
}

// ChangedDay is a closed day whose readings are not those that it was closed
// with.
type ChangedDay struct {
	Sensor string          `json:"sensor"`
	Day    measure.Date    `json:"day"`
	Seq    int64           `json:"seq"`       // of the fact that closed it
	Closed measure.Instant `json:"closed_us"` // when it was closed
	Then   int64           `json:"then"`      // readings it was closed with
	Now    int64           `json:"now"`       // readings that it has
}

// Late returns how many readings came after the day was closed: harmless, but
// to be explained. It is not above zero where readings were changed or removed.
func (c ChangedDay) Late() int64 { return c.Now - c.Then }

// CheckDays compares the readings of every closed day with the digest in the
// ledger and returns the days that differ, in the order in which they were
// closed, and the number of days compared.
func (a *App) CheckDays(ctx context.Context) (changed []ChangedDay, compared int64, err error) {
	err = a.read(ctx, 0, func(v *view) error {
		changed, compared = nil, 0
		zone := time.UTC
		return ledgerdb.Each(v.ctx, v.tx, v.site, 0, func(f ledger.Fact) error {
			e, err := inventory.DecodeEntry(f.Kind, f.Body)
			if err != nil {
				return err
			}
			switch e := e.(type) {
			case *inventory.SiteSet:
				zone, err = time.LoadLocation(e.Zone)
				return err
			case *inventory.DayClosed:
				compared++
				c, err := v.checkDay(f, e, zone)
				if c != nil {
					changed = append(changed, *c)
				}
				return err
			}
			return nil
		})
	})
	return changed, compared, err
}

// checkDay returns nil for a day that is as it was closed, or whose closing was
// taken back.
func (v *view) checkDay(f ledger.Fact, e *inventory.DayClosed, zone *time.Location) (*ChangedDay, error) {
	day := measure.Date(e.Day)
	n, digest, err := v.digest(e.Sensor, day, zone)
	if err != nil || (n == e.Readings && digest == e.Digest) {
		return nil, err
	}
	if _, voided, err := ledgerdb.SupersededBy(v.ctx, v.tx, v.site, f.ID); voided || err != nil {
		return nil, err
	}
	return &ChangedDay{Sensor: e.Sensor, Day: day, Seq: f.Seq, Closed: f.Noted, Then: e.Readings, Now: n}, nil
}
