package main

import (
	"context"
	"crypto/rand"
	"fmt"
	"net/url"
	"os"
	"strconv"
	"strings"
)

// eximSettings are those of a mail server without any privilege: TLS by STARTTLS
// and from the start, no mail but from one user and for one domain, in which
// "gone" is refused for good and "full" for now. What it takes is in one folder, a
// file a message.
const eximSettings = `exim_user = {uid}
exim_group = {gid}
admin_groups = {gid}
exim_path = {program}
spool_directory = {folder}/spool
log_file_path = {folder}/%slog
pid_file_path = {folder}/pid
primary_hostname = mail.shop.example
local_interfaces = 127.0.0.1
daemon_smtp_ports = {port} : {tlsport}
tls_on_connect_ports = {tlsport}
tls_advertise_hosts = *
tls_certificate = {folder}/server.pem
tls_privatekey = {folder}/server.key
auth_advertise_hosts = ${if eq{$tls_in_cipher}{}{}{*}}
acl_smtp_mail = sender
acl_smtp_rcpt = recipient
deliver_drop_privilege
host_lookup =
rfc1413_hosts =
smtp_accept_max = 100
keep_environment =
begin acl
sender:
  deny   !authenticated = *
         message = sign in first
  accept
recipient:
  deny   local_parts = gone
         message = no such person here
  defer  local_parts = full
         message = the box is full, try again later
  accept domains = shop.example
  deny   message = this server relays for nobody
begin authenticators
plain:
  driver = plaintext
  public_name = PLAIN
  server_prompts = :
  server_condition = ${if and{{eq{$auth2}{{user}}}{eq{$auth3}{{password}}}}}
  server_set_id = $auth2
begin routers
box:
  driver = accept
  transport = box
begin transports
box:
  driver = appendfile
  directory = {folder}/mail
  create_directory
  directory_mode = 0755
  mode = 0644
  maildir_format
  envelope_to_add
`

// startExim starts a mail server in its folder and returns its address.
func (c *check) startExim(ctx context.Context, d *daemon, program string) (*url.URL, error) {
	password := rand.Text()
	ports, err := freePorts(2)
	if err != nil {
		return nil, err
	}
	uid, gid := d.who.ids()
	text := strings.NewReplacer("{uid}", uid, "{gid}", gid, "{program}", program, "{folder}", d.folder,
		"{port}", strconv.Itoa(ports[0]), "{tlsport}", strconv.Itoa(ports[1]), "{user}", peerUser, "{password}", password).
		Replace(eximSettings)
	if err := d.write("exim.conf", text); err != nil {
		return nil, err
	}
	u := &url.URL{Scheme: "smtp", User: url.UserPassword(peerUser, password), Host: fmt.Sprintf("127.0.0.1:%d", ports[0]),
		RawQuery: url.Values{"ca": {d.file(authorityFile)}, "tls": {strconv.Itoa(ports[1])}, "mail": {d.file("mail")}}.Encode()}
	return u, d.start(ctx, c.env, listens(ports[1]), program, "-C", d.file("exim.conf"), "-bdf")
}

// ids returns the numbers of the account's user and group.
func (a account) ids() (uid, gid string) {
	if a.name == "" {
		return strconv.Itoa(os.Getuid()), strconv.Itoa(os.Getgid())
	}
	return strconv.FormatUint(uint64(a.uid), 10), strconv.FormatUint(uint64(a.gid), 10)
}
