package register_test

import (
	"bufio"
	"fmt"
	"io"
	"log"
	"math/rand/v2"
	"net"
	"os"
	"os/exec"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/simonvetter/modbus"

	"ovenward/cmd/internal/app"
	"ovenward/cmd/internal/app/apptest"
	"ovenward/cmd/internal/register"
	"ovenward/inventory/measure"
	"ovenward/migrations/db"
	"ovenward/migrations/db/dbtest"
	"ovenward/storage/feed"
	"ovenward/storage/ovendb"
)

// serveAt is set in the environment of the process that is the device.
const serveAt = "OVENWARD_TEST_MODBUS"

// TestMain lets the test binary be a device: a Modbus server in a process of its
// own, which can be killed.
func TestMain(m *testing.M) {
	if address := os.Getenv(serveAt); address != "" {
		if err := serve(address); err != nil {
			log.Fatal(err)
		}
		return
	}
	os.Exit(m.Run())
}

func serve(address string) error {
	s, err := modbus.NewServer(&modbus.ServerConfiguration{URL: "tcp://" + address, Timeout: time.Minute,
		Logger: log.New(io.Discard, "", 0)}, oven{})
	if err != nil {
		return err
	}
	if err := s.Start(); err != nil {
		return err
	}
	fmt.Println("ready")
	_, err = io.Copy(io.Discard, os.Stdin) // until the test ends or kills it
	return err
}

// oven has 121.2 °C in tenths in holding register 10 of unit 1, 250 °F as a float,
// low word first, in input register 20 of unit 2, and a broken probe in 30.
type oven struct{}

func (oven) HandleCoils(*modbus.CoilsRequest) ([]bool, error) { return nil, modbus.ErrIllegalFunction }
func (oven) HandleDiscreteInputs(*modbus.DiscreteInputsRequest) ([]bool, error) {
	return nil, modbus.ErrIllegalFunction
}

func (oven) HandleHoldingRegisters(r *modbus.HoldingRegistersRequest) ([]uint16, error) {
	switch {
	case r.UnitId == 1 && r.Addr == 10 && r.Quantity == 1 && !r.IsWrite:
		return []uint16{1212}, nil
	case r.UnitId == 1 && r.Addr == 30 && r.Quantity == 1 && !r.IsWrite:
		return []uint16{0x7FFF}, nil
	}
	return nil, modbus.ErrIllegalDataAddress
}

func (oven) HandleInputRegisters(r *modbus.InputRegistersRequest) ([]uint16, error) {
	if r.UnitId == 2 && r.Addr == 20 && r.Quantity == 2 {
		return []uint16{0, 0x437A}, nil // 250 is 0x437A0000
	}
	return nil, modbus.ErrIllegalDataAddress
}

// device starts the process and returns what ends it.
func device(t *testing.T, address string) (kill func()) {
	t.Helper()
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.CommandContext(t.Context(), self)
	cmd.Env = append(os.Environ(), serveAt+"="+address)
	if _, err := cmd.StdinPipe(); err != nil {
		t.Fatal(err)
	}
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	if line, err := bufio.NewReader(out).ReadString('\n'); line != "ready\n" {
		t.Fatalf("the device says %q, %v", line, err)
	}
	return func() {
		_ = cmd.Process.Kill()
		_ = cmd.Wait()
	}
}

// free returns an address of this machine at which nobody listens.
func free(t *testing.T) string {
	t.Helper()
	l := listen(t)
	defer l.Close()
	return l.Addr().String()
}

func listen(t *testing.T) net.Listener {
	t.Helper()
	var c net.ListenConfig
	l, err := c.Listen(t.Context(), "tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	return l
}

func newSite(t *testing.T, d *db.DB) *app.App {
	t.Helper()
	return apptest.Site(t, d, "yard", "H1", "H2", "H3")
}

func points() []register.Point {
	return []register.Point{
		{Sensor: "H1", Unit: 1, Address: 10, Register: feed.Register{Form: "int16", Scale: 0.1, Unit: "C"}},
		{Sensor: "H2", Unit: 2, Input: true, Address: 20, Register: feed.Register{Form: "float32", LowHigh: true, Scale: 1, Unit: "F"}},
		{Sensor: "H3", Unit: 1, Address: 30, Register: feed.Register{Form: "int16", Scale: 0.1, Unit: "C", Broken: []int64{32767}}},
	}
}

func stored(t *testing.T, a *app.App, places ...string) string {
	t.Helper()
	return apptest.Stored(t, a, measure.US, places...)
}

// A real server in another process is read, killed, started again and read again;
// the dead device beside it holds it up no longer than its own connection takes.
func TestADeviceIsReadAndReadAgainAfterItWasGone(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		a, address := newSite(t, open()), free(t)
		kill := device(t, address)
		d := register.New(a, []register.Settings{
			{Name: "plc", Address: address, Within: 2 * time.Second, Points: points()},
			{Name: "dead", Address: free(t), Within: 2 * time.Second, Points: points()[:1]}})
		t.Cleanup(func() { _ = d.Close() })
		poll := func(added int64, problems int) {
			t.Helper()
			came, err := d.Poll(t.Context())
			if err == nil || !strings.Contains(err.Error(), "cannot be reached") || came[0].Added != added {
				t.Errorf("%+v, %v: want %d readings of the plc and the other out of reach", came, err, added)
			}
			sources, err := a.Sources(t.Context())
			n := 0
			for _, s := range sources {
				if s.Problem != "" {
					n++
				}
			}
			if err != nil || n != problems {
				t.Errorf("%+v, %v: want %d of them with a problem", sources, err, problems)
			}
		}
		poll(2, 1)
		kill()
		noonAfter(a, time.Minute)
		poll(0, 2)
		kill = device(t, address)
		defer kill()
		noonAfter(a, 2*time.Minute)
		poll(2, 1)
		want := "H1 2025-06-05T12:00:00Z 250.16 °F\nH1 2025-06-05T12:02:00Z 250.16 °F\n" + // 121.2 * 1.8 + 32
			"H2 2025-06-05T12:00:00Z 250 °F\nH2 2025-06-05T12:02:00Z 250 °F\n"
		if diff := cmp.Diff(want, stored(t, a, "H1", "H2", "H3")); diff != "" {
			t.Errorf("stored (-want +got):\n%s", diff)
		}
		flags, err := a.Flags(t.Context(), "H3", 0, measure.At(apptest.Noon.Add(time.Hour)))
		if err != nil || len(flags) != 2 || flags[0].Value != "7FFF" || flags[0].Quality != feed.Unreadable {
			t.Errorf("flagged %+v, %v: the broken probe twice expected", flags, err)
		}
	})
}

func noonAfter(a *app.App, d time.Duration) { a.Now = func() time.Time { return apptest.Noon.Add(d) } }

// A register that the device does not have is told of, and the others are read.
func TestARegisterThatThereIsNotHoldsUpNoOther(t *testing.T) {
	t.Parallel()
	a, address := newSite(t, dbtest.Any(t)), free(t)
	defer device(t, address)()
	list := append([]register.Point{{Sensor: "H3", Unit: 1, Address: 99, Register: feed.Register{Form: "int16", Scale: 1, Unit: "C"}}}, points()[:2]...)
	d := register.New(a, []register.Settings{{Name: "plc", Address: address, Within: 2 * time.Second, Points: list}})
	t.Cleanup(func() { _ = d.Close() })
	came, err := d.Poll(t.Context())
	if err == nil || !strings.Contains(err.Error(), "register 99 of unit 1") || came[0].Added != 2 {
		t.Errorf("%+v, %v: want two readings and register 99 named", came, err)
	}
}

// Whatever a peer sends, cuts off or keeps to itself, a poll ends with an error or
// with a reading, and never with a panic; each poll opens the line anew.
func TestGarbageIsAnErrorAndNoPanic(t *testing.T) {
	t.Parallel()
	a, l := newSite(t, dbtest.Any(t)), listen(t)
	defer l.Close()
	go garbage(l)
	d := register.New(a, []register.Settings{{Name: "plc", Address: l.Addr().String(), Within: 50 * time.Millisecond, Points: points()}})
	for range 60 {
		if _, err := d.Poll(t.Context()); err == nil {
			t.Error("garbage was read without an error")
		}
	}
	if got := stored(t, a, "H2"); got != "" {
		t.Errorf("stored %q", got)
	}
	if err := d.Close(); err != nil {
		t.Error(err)
	}
	if _, err := d.Poll(t.Context()); err == nil {
		t.Error("a poll after the end: no error")
	}
}

// garbage answers each connection with noise of a fixed seed: nothing, bytes, or a
// header that announces more than comes.
func garbage(l net.Listener) {
	r := rand.New(rand.NewPCG(5, 12))
	for {
		c, err := l.Accept()
		if err != nil {
			return
		}
		head := make([]byte, 12)
		_, _ = io.ReadFull(c, head)
		noise := make([]byte, r.IntN(40))
		for i := range noise {
			noise[i] = byte(r.Uint32())
		}
		if r.IntN(2) == 0 && len(noise) >= 8 { // the transaction that was asked for, and then nonsense
			copy(noise, []byte{head[0], head[1], 0, 0, 0, byte(r.IntN(255)), head[6], byte(r.IntN(255))})
		}
		_, _ = c.Write(noise)
		_ = c.Close()
	}
}

// TestAPollIsTheFactThatAPersonEnters compares with oven read of another oven.
func TestAPollIsTheFactThatAPersonEnters(t *testing.T) {
	t.Parallel()
	a, address := newSite(t, dbtest.Any(t)), free(t)
	defer device(t, address)()
	d := register.New(a, []register.Settings{{Name: "plc", Address: address, Within: 2 * time.Second, Points: points()[:1]}})
	t.Cleanup(func() { _ = d.Close() })
	if _, err := d.Poll(t.Context()); err != nil {
		t.Fatal(err)
	}
	temp, err := measure.ParseTemperature("121.2 C")
	if err != nil {
		t.Fatal(err)
	}
	if _, err := a.Read(t.Context(), "Oakes", "121.2 C", ovendb.Reading{Sensor: "H2", At: measure.At(apptest.Noon), Temp: temp}, false); err != nil {
		t.Fatal(err)
	}
	got, want := stored(t, a, "H1"), strings.ReplaceAll(stored(t, a, "H2"), "H2", "H1")
	if got != want || got == "" {
		t.Errorf("polled %q, entered %q", got, want)
	}
}
