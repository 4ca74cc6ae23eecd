package main

import (
	"context"
	"crypto/rand"
	"fmt"
	"net/url"
)

// peerUser is who tests are to the servers that ask.
const peerUser = "ovenward"

// mosquittoSettings are those of a broker that speaks TLS, lets in one user and
// keeps nothing on the disk.
const mosquittoSettings = `listener %d 127.0.0.1
certfile %s
keyfile %s
allow_anonymous false
password_file %s
persistence false
`

// startMosquitto starts an MQTT broker in its folder and returns its address.
func (c *check) startMosquitto(ctx context.Context, d *daemon, program string) (*url.URL, error) {
	password := rand.Text()
	ports, err := freePorts(1)
	if err != nil {
		return nil, err
	}
	if err := d.write("passwords", peerUser+":"+password+"\n"); err != nil {
		return nil, err
	}
	hash := c.command(ctx, "mosquitto_passwd", "-U", d.file("passwords"))
	d.who.runs(hash, d.folder)
	if _, err := output(hash); err != nil {
		return nil, err
	}
	text := fmt.Sprintf(mosquittoSettings, ports[0], d.file(certificateFile), d.file(keyFile), d.file("passwords"))
	if err := d.write("mosquitto.conf", text); err != nil {
		return nil, err
	}
	u := &url.URL{Scheme: "mqtts", User: url.UserPassword(peerUser, password), Host: fmt.Sprintf("127.0.0.1:%d", ports[0]),
		RawQuery: url.Values{"ca": {d.file(authorityFile)}}.Encode()}
	return u, d.start(ctx, c.env, listens(ports[0]), program, "-c", d.file("mosquitto.conf"))
}
