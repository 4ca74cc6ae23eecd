package db

import (
	"context"
	"errors"
	"sync"

	"ovenward/migrations"
)

// imager is what the driver's connection offers beside database/sql: a database
// in memory as bytes, and back.
type imager interface {
	Serialize() ([]byte, error)
	Deserialize(image []byte) error
}

// Scratch opens a database in memory that has the program's schema and ends with
// Close. The schema is built once in a process and copied from then on: what is
// judged again, folded anew or tried dry opens several.
func Scratch(ctx context.Context) (d *DB, err error) {
	image, err := scratchImage()
	if err != nil {
		return nil, err
	}
	if d, err = openSQLite(ctx, memory, options{patience: patience}); err != nil {
		return nil, err
	}
	err = d.imaged(ctx, func(i imager) error { return i.Deserialize(image) })
	if err == nil {
		err = d.migrate(ctx, migrations.Files) // reads the version: an image that is not whole is found here
	}
	if err != nil {
		return nil, errors.Join(d.explain(ctx, err), d.Close())
	}
	return d, nil
}

// scratchImage returns the bytes of a new database. It is independent of who asks
// first, so it has a context of its own.
var scratchImage = sync.OnceValues(func() (image []byte, err error) {
	ctx := context.Background()
	d, err := Open(ctx, string(SQLite)+":"+memory)
	if err != nil {
		return nil, err
	}
	defer func() { err = errors.Join(err, d.Close()) }()
	err = d.imaged(ctx, func(i imager) (err error) {
		image, err = i.Serialize()
		return err
	})
	return image, err
})

func (d *DB) imaged(ctx context.Context, fn func(imager) error) (err error) {
	c, err := d.write.db.Conn(ctx)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, c.Close()) }()
	return c.Raw(func(driver any) error { return fn(driver.(imager)) })
}
