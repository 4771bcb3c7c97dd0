// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

// Page serves three pages to a browser on the same machine: a budget whose inputs can be
// turned, an exercise with judged answers, and the inspection of a box.
//
//	cd examples/pictures && go run ./page
//	cd examples/pictures && go run ./page -address 127.0.0.1:8090
//
// It prints the address to open. It listens on the loopback address unless -address says
// otherwise: whoever can reach it can use it, and it has no accounts. It reads and writes no
// files and keeps nothing: what a page needs is in the page.
//
// # The library in a server
//
// The handlers are short so that they can be copied. What they do to stay well behaved:
//
//   - a request has a body of at most a megabyte and an end: readers, headers, writers and
//     idle connections have time-outs, and work ends with the request's context, which ends
//     when the reader goes away ([server.limited]);
//   - work is bounded: at most as many evaluations run at once as there are processors, a
//     model has at most 50 inputs, a simulation 50,000 trials, an inspection 2,000 readings;
//   - results are made by the library and shown by its own texts, cells and pictures; names
//     and notes from users are escaped by html/template;
//   - errors of the library are about what was entered, so they are shown beside the field
//     ([unit.Cause] drops the names of Go);
//   - every answer forbids scripts, frames and other origins ([secured]).
package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"os"
	"os/signal"
	"syscall"
	"time"

	"example.com/ohmwright/examples/internal/files"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	err := run(ctx, os.Args[1:], os.Stdout)
	stop()
	if err != nil {
		fmt.Fprintln(os.Stderr, "page:", err)
		os.Exit(1)
	}
}

func run(ctx context.Context, arguments []string, out io.Writer) error {
	p := files.New("page", nil, "go run ./page", "go run ./page -address 127.0.0.1:8090")
	address := p.Flags.String("address", "127.0.0.1:0",
		"`address` to listen on; port 0: a free one")
	if run, err := p.Parse(arguments, out); !run {
		return err
	}
	listener, err := net.Listen("tcp", *address)
	if err != nil {
		return err
	}
	fmt.Fprintf(out, "Open http://%s/ in a browser; interrupt to end.\n", listener.Addr())
	return serve(ctx, listener)
}

// serve answers until the context ends, and then lets requests finish.
func serve(ctx context.Context, listener net.Listener) error {
	s := &http.Server{
		Handler:           newHandler(),
		ReadHeaderTimeout: 5 * time.Second,
		ReadTimeout:       15 * time.Second,
		WriteTimeout:      30 * time.Second,
		IdleTimeout:       time.Minute,
		MaxHeaderBytes:    16 << 10,
	}
	ended := make(chan error, 1)
	go func() { ended <- s.Serve(listener) }()
	select {
	case err := <-ended:
		return err
	case <-ctx.Done():
	}
	last, cancel := context.WithTimeout(context.Background(), 5*time.Second)
	defer cancel()
	if err := s.Shutdown(last); err != nil {
		return err
	}
	if err := <-ended; !errors.Is(err, http.ErrServerClosed) {
		return err
	}
	return nil
}
