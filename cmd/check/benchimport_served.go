package main

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"time"

	"ovenward/cmd/internal/app"
	"ovenward/inventory"
)

// counterEvery is how often somebody at the counter records something.
const counterEvery = 50 * time.Millisecond

// served loads while somebody at the counter records a fact every so often from
// another connection, and says how long each had to wait.
func (b *importBench) served(ctx context.Context, p importPeer) error {
	dsn, err := p.dsn(ctx)
	if err != nil {
		return err
	}
	if err := b.prepare(ctx, dsn); err != nil {
		return err
	}
	alone, err := atCounter(ctx, dsn, "before", func() error {
		select {
		case <-ctx.Done():
		case <-time.After(time.Second):
		}
		return ctx.Err()
	})
	if err != nil {
		return err
	}
	var took time.Duration
	waits, err := atCounter(ctx, dsn, "during", func() (err error) {
		took, err = b.own(ctx, p, dsn)
		return err
	})
	if err != nil {
		return err
	}
	fmt.Fprintf(b.out, "%s: with a record every %v at the counter %.0f rows/s; a record takes %s, without a load %s\n",
		p.name, counterEvery, importRows/took.Seconds(), summary(waits), summary(alone))
	return p.drop(ctx, dsn)
}

// atCounter records a fact every so often while fn runs and returns how long each
// took, shortest first.
func atCounter(ctx context.Context, dsn, name string, fn func() error) (took []time.Duration, err error) {
	err = site(ctx, dsn, func(a *app.App) error {
		ended := make(chan error, 1)
		go func() { ended <- fn() }()
		tick := time.NewTicker(counterEvery)
		defer tick.Stop()
		for n := 0; ; n++ {
			select {
			case err := <-ended:
				return err
			case <-tick.C:
			}
			begun := time.Now()
			_, err := a.Record(ctx, app.Request{By: "counter", Entry: &inventory.PlaceSet{
				Place: fmt.Sprintf("shelf %s %d", name, n), SortKind: string(inventory.Shelf)}})
			if err != nil {
				return errors.Join(err, <-ended)
			}
			took = append(took, time.Since(begun))
		}
	})
	slices.Sort(took)
	if err == nil && len(took) == 0 {
		err = errors.New("nothing was recorded at the counter")
	}
	return took, err
}

func summary(sorted []time.Duration) string {
	n := len(sorted)
	round := func(d time.Duration) time.Duration { return d.Round(100 * time.Microsecond) }
	return fmt.Sprintf("%v, 95 in 100 up to %v, the longest of %d %v",
		round(sorted[n/2]), round(sorted[n*95/100]), n, round(sorted[n-1]))
}
