package stockdb

import (
	"context"
	"fmt"

	"github.com/jmoiron/sqlx"

	"ovenward/inventory"
	"ovenward/inventory/designation"
	"ovenward/inventory/measure"
	"ovenward/migrations/db"
)

const lotColumns = `lot, class, spec, diameter_nm, length_nm, size, maker, certificate, certificate_kind,
	made, expires, piece_ug, status, reason, product, owner, lot_class, schedule, extended, extension`

type lotRow struct {
	Lot             string         `db:"lot"`
	Class           string         `db:"class"`
	Spec            string         `db:"spec"`
	Diameter        measure.Length `db:"diameter_nm"`
	Length          measure.Length `db:"length_nm"`
	Size            string         `db:"size"`
	Maker           string         `db:"maker"`
	Certificate     string         `db:"certificate"`
	CertificateKind string         `db:"certificate_kind"`
	Made            string         `db:"made"`
	Expires         string         `db:"expires"`
	Piece           measure.Mass   `db:"piece_ug"`
	Status          string         `db:"status"`
	Reason          string         `db:"reason"`
	Product         string         `db:"product"`
	Owner           string         `db:"owner"`
	LotClass        string         `db:"lot_class"`
	Schedule        string         `db:"schedule"`
	Extended        string         `db:"extended"`
	Extension       string         `db:"extension"`
}

func (r lotRow) lot() (inventory.Lot, error) {
	mark, err := designation.Parse(r.Class, designation.Spec(r.Spec))
	if err != nil {
		return inventory.Lot{}, fmt.Errorf("lot %s: %w", r.Lot, err)
	}
	return inventory.Lot{Code: r.Lot, Mark: mark, Diameter: r.Diameter, Length: r.Length, Size: r.Size,
		Maker: r.Maker, Product: r.Product,
		Made: measure.Date(r.Made), Expires: measure.Date(r.Expires), Piece: r.Piece,
		Status: inventory.LotStatus(r.Status), Reason: r.Reason,
		Certificate: r.Certificate, CertificateKind: r.CertificateKind,
		Owner: r.Owner, LotClass: r.LotClass, Schedule: r.Schedule,
		Extended: measure.Date(r.Extended), Extension: r.Extension}, nil
}

// Lot returns a lot. The error wraps db.ErrNotFound when there is none.
func Lot(ctx context.Context, tx *sqlx.Tx, site, code string) (inventory.Lot, error) {
	row, err := get[lotRow](ctx, tx, "lot "+code,
		`SELECT `+lotColumns+` FROM lot WHERE site = $1 AND lot = $2`, site, code)
	if err != nil {
		return inventory.Lot{}, err
	}
	return row.lot()
}

// FirstReceived returns when the first of a lot came; zero before any has.
func FirstReceived(ctx context.Context, tx *sqlx.Tx, site, lot string) (measure.Instant, error) {
	at, err := get[*measure.Instant](ctx, tx, "receipts of lot "+lot,
		`SELECT CAST(min(received_us) AS BIGINT) FROM bundle WHERE site = $1 AND lot = $2`, site, lot)
	if at == nil || err != nil {
		return 0, err
	}
	return *at, nil
}

// Lots returns every lot of a site in the order of its code.
func Lots(ctx context.Context, tx *sqlx.Tx, site string) ([]inventory.Lot, error) {
	rows, err := list[lotRow](ctx, tx, "lots", `SELECT `+lotColumns+` FROM lot WHERE site = $1 ORDER BY lot`, site)
	if err != nil {
		return nil, err
	}
	lots := make([]inventory.Lot, 0, len(rows))
	for _, r := range rows {
		l, err := r.lot()
		if err != nil {
			return nil, err
		}
		lots = append(lots, l)
	}
	return lots, nil
}

// saveLot writes a lot as its first receipt describes it. A later receipt of
// the same lot adds stock and changes nothing of the lot.
func (a *applier) saveLot(l inventory.Lot) error {
	return a.exec(`INSERT INTO lot (site, lot, class, spec, canonical, diameter_nm, length_nm, size, maker, certificate,
			certificate_kind, made, expires, piece_ug, status, reason, product, owner, lot_class, schedule)
		VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14, $15, $16, $17, $18, $19, $20)
		ON CONFLICT (site, lot) DO NOTHING`,
		a.site, l.Code, l.Mark.Raw, string(l.Mark.Spec), l.Mark.Canonical, l.Diameter, l.Length, l.Size, l.Maker,
		l.Certificate, l.CertificateKind, string(l.Made), string(l.Expires), l.Piece, string(l.Status), l.Reason,
		l.Product, l.Owner, l.LotClass, l.Schedule)
}

// setLotStatus says whether a lot may go out. The error wraps db.ErrNotFound
// when nothing of the lot has come yet.
func (a *applier) setLotStatus(lot string, s inventory.LotStatus, reason string) error {
	return a.changeLot(lot, `UPDATE lot SET status = $3, reason = $4 WHERE site = $1 AND lot = $2`, string(s), reason)
}

// changeLot changes what is said of a lot. The error wraps db.ErrNotFound when
// nothing of it has come yet.
func (a *applier) changeLot(lot, query string, args ...any) error {
	n, err := a.changed(query, append([]any{a.site, lot}, args...)...)
	if err == nil && n == 0 {
		err = fmt.Errorf("lot %s: %w", lot, db.ErrNotFound)
	}
	return err
}
