package main

import (
	"context"
	"errors"
)

// testTimeout bounds one package's tests. The slowest take half a minute.
const testTimeout = "-timeout=10m"

func (c *check) test(ctx context.Context) error {
	return c.goTest(ctx)
}

func (c *check) race(ctx context.Context) error {
	if err := c.needCompiler(ctx); err != nil {
		return err
	}
	return c.goTest(ctx, "-race")
}

// goTest runs the tests of every package. Its error means that they could not
// be run; failed tests are counted.
func (c *check) goTest(ctx context.Context, flags ...string) error {
	args := append([]string{"test", "-json", testTimeout}, flags...)
	cmd := c.command(ctx, "go", append(args, "./...")...)
	cmd.Stderr = c.out
	if len(flags) > 0 {
		cmd.Env = append(cmd.Environ(), "CGO_ENABLED=1") // the race detector is linked by the C compiler
	}
	pipe, err := cmd.StdoutPipe()
	if err != nil {
		return err
	}
	if err := cmd.Start(); err != nil {
		return err
	}
	r := newReport(c)
	rerr := r.read(pipe)
	if err := cmd.Wait(); err != nil && r.failed == 0 {
		return errors.Join(err, rerr) // nothing failed, yet go test did
	}
	return rerr
}
