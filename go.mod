module ovenward

go 1.26.8

require (
	github.com/BurntSushi/toml v1.6.0
	github.com/cenkalti/backoff/v5 v5.0.3
	github.com/cpuguy83/go-md2man/v2 v2.0.7
	github.com/dustin/go-humanize v1.1.0
	github.com/gofrs/flock v0.13.2
	github.com/google/go-cmp v0.7.0
	github.com/google/uuid v1.6.0
	github.com/jedib0t/go-pretty/v6 v6.8.3
	github.com/jmoiron/sqlx v1.4.0
	github.com/lib/pq v1.12.3
	github.com/mattn/go-isatty v0.0.24
	github.com/mfridman/interpolate v0.0.2
	github.com/ncruces/go-strftime v1.1.0
	github.com/pressly/goose/v3 v3.29.0
	github.com/remyoudompheng/bigfft v0.0.0-20230129092748-24d4a6f8daec
	github.com/robfig/cron/v3 v3.0.1
	github.com/rogpeppe/go-internal v1.16.0
	github.com/russross/blackfriday/v2 v2.1.0
	github.com/sethvargo/go-retry v0.5.0
	github.com/urfave/cli/v2 v2.27.7
	github.com/xrash/smetrics v0.0.0-20240521201337-686a1a2994c1
	go.uber.org/multierr v1.11.0
	golang.org/x/sync v0.24.0
	golang.org/x/sys v0.50.0
	golang.org/x/term v0.48.0
	modernc.org/libc v1.80.1
	modernc.org/mathutil v1.7.1
	modernc.org/memory v1.12.1
	modernc.org/sqlite v1.62.0
	pgregory.net/rapid v1.3.0
)

require (
	github.com/mattn/go-runewidth v0.0.16 // indirect
	github.com/rivo/uniseg v0.4.7 // indirect
	golang.org/x/text v0.43.0 // indirect
	golang.org/x/tools v0.52.0 // indirect
)
