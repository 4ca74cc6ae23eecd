package channel

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/netip"
	"slices"
	"strconv"
	"syscall"
	"time"

	webhooks "github.com/standard-webhooks/standard-webhooks/libraries/go"

	"ovenward/inventory/measure"
)

// Webhook posts each message to a web address, signed by the Standard Webhooks
// scheme, whose webhook-id is the message's key: a receiver drops what it has had.
// It follows no redirect and reaches no address inside the network that is not
// allowed by name.
type Webhook struct {
	url    string
	sign   *webhooks.Webhook
	client *http.Client
}

// sendWithin is how long a receiver may take.
const sendWithin = 10 * time.Second

// NewWebhook returns a channel to a web address. The secret is as the scheme has
// it, "whsec_" and base64; allow are addresses such as 10.0.0.5:8080 that may be
// reached although they are inside the network. The error names the secret's form.
func NewWebhook(url, secret string, allow []string) (*Webhook, error) {
	sign, err := webhooks.NewWebhook(secret)
	if err != nil {
		return nil, errors.New("the secret of a webhook is whsec_ and base64 text")
	}
	guard := func(_, address string, _ syscall.RawConn) error { return reachable(address, allow) }
	transport := &http.Transport{DialContext: (&net.Dialer{Timeout: sendWithin, Control: guard}).DialContext,
		TLSHandshakeTimeout: sendWithin, DisableKeepAlives: true}
	return &Webhook{url, sign, &http.Client{Transport: transport, Timeout: sendWithin,
		CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}}, nil
}

// reachable refuses an address inside the network unless it is allowed. It is
// asked with the address that a name was resolved to.
func reachable(address string, allow []string) error {
	if slices.Contains(allow, address) {
		return nil
	}
	to, err := netip.ParseAddrPort(address)
	if err != nil {
		return fmt.Errorf("address %s: %w", address, err)
	}
	ip := to.Addr().Unmap()
	if !ip.IsGlobalUnicast() || ip.IsPrivate() || ip.IsLoopback() || ip.IsLinkLocalUnicast() {
		return fmt.Errorf("%s is inside the network: name it in allow = [%q] if that is meant", address, address)
	}
	return nil
}

// payload is the body of a call, by the scheme.
type payload struct {
	Type      string    `json:"type"`
	Timestamp time.Time `json:"timestamp"`
	Data      Message   `json:"data"`
}

// Send implements Sender: any answer but 2xx is an error.
func (w *Webhook) Send(ctx context.Context, m Message, at measure.Instant) (err error) {
	body, err := encode(payload{"alarm", at.Time().UTC(), m})
	if err != nil {
		return err
	}
	req, err := http.NewRequestWithContext(ctx, http.MethodPost, w.url, bytes.NewReader(body))
	if err != nil {
		return err
	}
	signature, err := w.sign.Sign(m.Key, at.Time(), body)
	if err != nil {
		return err
	}
	req.Header.Set("Content-Type", "application/json")
	req.Header.Set(webhooks.HeaderWebhookID, m.Key)
	req.Header.Set(webhooks.HeaderWebhookTimestamp, strconv.FormatInt(at.Time().Unix(), 10))
	req.Header.Set(webhooks.HeaderWebhookSignature, signature)
	answer, err := w.client.Do(req)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, answer.Body.Close()) }()
	if _, err := io.CopyN(io.Discard, answer.Body, 1<<16); err != nil && !errors.Is(err, io.EOF) {
		return err
	}
	if answer.StatusCode/100 != 2 {
		return fmt.Errorf("the receiver answered %s", answer.Status)
	}
	return nil
}
