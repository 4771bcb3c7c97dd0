// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"bytes"
	"context"
	"embed"
	"errors"
	"fmt"
	"html/template"
	"net/http"
	"runtime"
	"time"

	"example.com/ohmwright/examples/pictures/internal/report"
)

const (
	mostBody = 1 << 20          // bytes of a request
	mostWork = 10 * time.Second // of one request, waiting included
)

var errTooMuch = errors.New("too much to do at the moment; try again")

//go:embed templates
var templates embed.FS

//go:embed page.css
var style string

// server has what all handlers share; nothing of it changes.
type server struct {
	pages *template.Template
	slots chan struct{} // one for each evaluation that may run
}

func newHandler() http.Handler {
	functions := template.FuncMap{"add": func(a, b int) int { return a + b }}
	s := &server{
		pages: template.Must(template.Must(report.Templates.Clone()).Funcs(functions).
			ParseFS(templates, "templates/*.html")),
		slots: make(chan struct{}, runtime.GOMAXPROCS(0)),
	}
	mux := http.NewServeMux()
	mux.HandleFunc("GET /{$}",
		func(w http.ResponseWriter, _ *http.Request) { s.show(w, http.StatusOK, "home", nil) })
	mux.HandleFunc("GET /style.css", func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Content-Type", "text/css; charset=utf-8")
		fmt.Fprint(w, report.Style(), style)
	})
	mux.HandleFunc("GET /budget", s.limited(s.budget))
	mux.HandleFunc("POST /budget", s.limited(s.budget))
	mux.HandleFunc("POST /budget/export", s.limited(s.export))
	mux.HandleFunc("GET /exercise", s.limited(s.exercise))
	mux.HandleFunc("POST /exercise", s.limited(s.exercise))
	mux.HandleFunc("GET /box", s.limited(s.box))
	mux.HandleFunc("POST /box", s.limited(s.box))
	mux.HandleFunc("POST /box/save", s.limited(s.save))
	return secured(http.MaxBytesHandler(mux, mostBody))
}

// secured sets the headers that keep a page to itself. Pictures are SVG in the page, whose
// texts have style attributes; scripts there are none.
func secured(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", "default-src 'none'; style-src 'self' 'unsafe-inline'; "+
			"form-action 'self'; frame-ancestors 'none'; base-uri 'none'")
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "no-referrer")
		h.Set("Cache-Control", "no-store")
		next.ServeHTTP(w, r)
	})
}

// limited reads the form, waits for a free slot and bounds the time of a handler. A reader
// who goes away ends the request's context, and so the waiting and the work.
func (s *server) limited(handle func(http.ResponseWriter, *http.Request)) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		if err := parseForm(r); err != nil {
			status := http.StatusBadRequest
			if _, ok := errors.AsType[*http.MaxBytesError](err); ok {
				status = http.StatusRequestEntityTooLarge
			}
			s.refuse(w, status, err)
			return
		}
		ctx, cancel := context.WithTimeout(r.Context(), mostWork)
		defer cancel()
		select {
		case s.slots <- struct{}{}:
			defer func() { <-s.slots }()
		case <-ctx.Done():
			s.refuse(w, http.StatusServiceUnavailable, errTooMuch)
			return
		}
		handle(w, r.WithContext(ctx))
	}
}

// parseForm takes forms with files and without. ParseForm comes first: its error is lost in
// that of a form without files.
func parseForm(r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return err
	}
	err := r.ParseMultipartForm(mostBody)
	if errors.Is(err, http.ErrNotMultipart) {
		return nil
	}
	return err
}

// show executes a template into memory first: a page is whole or an error.
func (s *server) show(w http.ResponseWriter, status int, page string, data any) {
	var b bytes.Buffer
	if err := s.pages.ExecuteTemplate(&b, page, data); err != nil {
		http.Error(w, "the page could not be made", http.StatusInternalServerError)
		return
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	w.WriteHeader(status)
	_, _ = b.WriteTo(w) // a reader who went away
}

func (s *server) refuse(w http.ResponseWriter, status int, err error) {
	s.show(w, status, "refusal", err.Error())
}

// download sends a file for the reader to keep.
func download(w http.ResponseWriter, name, kind string, text []byte) {
	w.Header().Set("Content-Type", kind+"; charset=utf-8")
	w.Header().Set("Content-Disposition", fmt.Sprintf("attachment; filename=%q", name))
	_, _ = w.Write(text)
}
