// Package register polls temperatures from registers of devices over Modbus TCP.
package register

import (
	"context"
	"errors"
	"fmt"
	"io"
	"log"
	"time"

	"github.com/simonvetter/modbus"

	"ovenward/storage/feed"
)

// Point is where a device has the temperature of a sensor or a place.
type Point struct {
	Sensor  string // or place
	Unit    uint8  // of the device at its address
	Input   bool   // an input register, function 4; else a holding one, function 3
	Address uint16 // counted from 0
	feed.Register
}

// Settings say how a device is reached and what it has.
type Settings struct {
	Name    string
	Address string // host:port
	Within  time.Duration
	Points  []Point
}

// client is one connection of the library.
type client interface {
	Open() error
	Close() error
	SetUnitId(id uint8) error
	ReadRegisters(addr uint16, quantity uint16, regType modbus.RegType) ([]uint16, error)
}

// device guards a connection of the library, which falls over a nil pointer where
// something is read while it is not open, and answers nothing but "broken pipe"
// after an error until it is opened again. It is not for use by two goroutines at
// once.
type device struct {
	settings Settings
	open     client // nil: not open
	make     func() (client, error)
}

func newDevice(s Settings) *device {
	return &device{settings: s, make: func() (client, error) {
		return modbus.NewClient(&modbus.ClientConfiguration{URL: "tcp://" + s.Address, Timeout: s.Within,
			Logger: log.New(io.Discard, "", 0)}) // it would write to standard output
	}}
}

// read reads the registers of a point, from a connection that is open. One that
// failed is closed, and the next read opens another.
func (d *device) read(ctx context.Context, p Point) ([]uint16, error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	if d.open == nil {
		c, err := d.make()
		if err == nil {
			err = c.Open()
		}
		if err != nil {
			return nil, fmt.Errorf("%s cannot be reached: %w", d.settings.Address, err)
		}
		d.open = c
	}
	kind := modbus.HOLDING_REGISTER
	if p.Input {
		kind = modbus.INPUT_REGISTER
	}
	err := d.open.SetUnitId(p.Unit)
	var words []uint16
	if err == nil {
		words, err = d.open.ReadRegisters(p.Address, uint16(p.Words()), kind)
	}
	if err != nil {
		if !refused(err) {
			err = errors.Join(err, d.close())
		}
		return nil, fmt.Errorf("register %d of unit %d: %w", p.Address, p.Unit, err)
	}
	return words, nil
}

// refused reports whether the device itself said no: the connection is sound.
func refused(err error) bool {
	for _, said := range []error{modbus.ErrIllegalDataAddress, modbus.ErrIllegalDataValue, modbus.ErrIllegalFunction,
		modbus.ErrServerDeviceFailure, modbus.ErrServerDeviceBusy, modbus.ErrGWTargetFailedToRespond, modbus.ErrGWPathUnavailable} {
		if errors.Is(err, said) {
			return true
		}
	}
	return false
}

func (d *device) close() error {
	if d.open == nil {
		return nil
	}
	c := d.open
	d.open = nil
	if err := c.Close(); err != nil {
		return fmt.Errorf("close %s: %w", d.settings.Address, err)
	}
	return nil
}
