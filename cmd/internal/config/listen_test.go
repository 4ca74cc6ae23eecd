package config_test

import "testing"

func TestWhereItListens(t *testing.T) {
	t.Parallel()
	for address, fine := range map[string]bool{
		"127.0.0.1:9464": true, "[::1]:9464": true, "crib.example:80": true, "127.0.0.1:0": true, "unix:/run/ovenward/w.sock": true,
		"": false, ":9464": false, "9464": false, "127.0.0.1": false, "127.0.0.1:http": false, "127.0.0.1:70000": false,
		"127.0.0.1:-1": false, "unix:w.sock": false, "unix:": false,
	} {
		c, err := read(t, "[listen]\naddress = \""+address+"\"")
		if (err == nil) != fine || (fine && c.Listen.Address != address) {
			t.Errorf("%q: %+v, %v, want it taken: %t", address, c.Listen, err, fine)
		}
	}
}
