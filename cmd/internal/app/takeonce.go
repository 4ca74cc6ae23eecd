package app

import (
	"context"
	"errors"

	"github.com/jmoiron/sqlx"

	"ovenward/storage/ovendb"
)

// ErrOtherBody means that something else was sent under the same key before.
var ErrOtherBody = errors.New("something else was sent under this key before")

// Key is what a request says that it is sent under; an empty one is none.
type Key struct{ Key, Digest string }

// TakeOnce is Take for what is sent under a key: sent again, it is answered as it
// was the first time and nothing is written. The answer is what words makes of what
// became of the values. The error wraps ErrOtherBody.
func (a *App) TakeOnce(ctx context.Context, in Intake, k Key, words func(Taken) (string, error)) (answer string, again bool, err error) {
	if answer, again, err = a.answered(ctx, k); again || err != nil {
		return answer, again, err
	}
	in.Also = func(ctx context.Context, tx *sqlx.Tx, t Taken) (err error) {
		if answer, err = words(t); err != nil || k.Key == "" {
			return err
		}
		first, err := ovendb.SetAnswer(ctx, tx, a.Site, ovendb.Answer{Key: k.Key, Digest: k.Digest, Text: answer, Noted: a.now()})
		if err == nil && !first {
			err = errSentTwice
		}
		return err
	}
	if _, err = a.Take(ctx, in); errors.Is(err, errSentTwice) {
		return a.answered(ctx, k)
	}
	return answer, false, err
}

// errSentTwice takes back what was stored by the slower of two requests under one
// key.
var errSentTwice = errors.New("it was sent twice at once")

// answered returns what was answered under a key; false where nothing was.
func (a *App) answered(ctx context.Context, k Key) (string, bool, error) {
	if k.Key == "" {
		return "", false, nil
	}
	var old ovendb.Answer
	var found bool
	err := a.DB.Read(ctx, func(tx *sqlx.Tx) (err error) {
		old, found, err = ovendb.AnswerTo(ctx, tx, a.Site, k.Key)
		return err
	})
	if err == nil && found && old.Digest != k.Digest {
		err = ErrOtherBody
	}
	return old.Text, found, err
}
