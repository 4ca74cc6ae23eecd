package alarmdb

import (
	"context"
	"encoding/json"
	"fmt"

	"github.com/jmoiron/sqlx"

	"ovenward/alerts/alarm"
)

// Catalogue returns the catalogue with what the site has set of it.
func Catalogue(ctx context.Context, tx *sqlx.Tx, site string) (alarm.Catalogue, error) {
	var bodies []string
	err := tx.SelectContext(ctx, &bodies, `SELECT body FROM alarm_setting WHERE site = $1 ORDER BY kind`, site)
	if err != nil {
		return alarm.Catalogue{}, fmt.Errorf("settings of alarms: %w", err)
	}
	settings := make([]alarm.Setting, len(bodies))
	for i, b := range bodies {
		if err := json.Unmarshal([]byte(b), &settings[i]); err != nil {
			return alarm.Catalogue{}, fmt.Errorf("settings of alarms: %w", err)
		}
	}
	return alarm.Shipped().With(settings)
}

// SetCatalogue keeps what a site has set of the catalogue in place of what it had
// set before.
func SetCatalogue(ctx context.Context, tx *sqlx.Tx, site string, settings []alarm.Setting) error {
	if _, err := tx.ExecContext(ctx, `DELETE FROM alarm_setting WHERE site = $1`, site); err != nil {
		return fmt.Errorf("settings of alarms: %w", err)
	}
	for _, s := range settings {
		body, err := json.Marshal(s)
		if err != nil {
			return err
		}
		if _, err := tx.ExecContext(ctx, `INSERT INTO alarm_setting (site, kind, body) VALUES ($1, $2, $3)`, site, s.Kind, string(body)); err != nil {
			return fmt.Errorf("settings of alarms: %s: %w", s.Kind, err)
		}
	}
	return nil
}
