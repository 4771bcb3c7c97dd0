// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

// Browser uses the pages of examples/pictures/page as a reader would: it starts the server,
// opens a headless browser at the width of a telephone and of a desk, fills the forms, and
// fails where an answer is missing, a page is wider than the screen, a field has no label, or
// the browser complains.
//
//	go run ./browser ROOT           # the checkout
//	go run ./browser -out DIR ROOT  # keeps pictures of the pages
package main

import (
	"bufio"
	"context"
	"errors"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"time"

	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
)

func main() {
	out := flag.String("out", "", "`directory` for pictures of the pages (none: they are not kept)")
	flag.Parse()
	if flag.NArg() != 1 {
		fmt.Fprintln(os.Stderr, "usage: browser [-out DIR] ROOT")
		os.Exit(2)
	}
	if err := run(flag.Arg(0), *out); err != nil {
		fmt.Fprintln(os.Stderr, "browser:", err)
		os.Exit(1)
	}
}

func run(root, out string) error {
	ctx, cancel := context.WithTimeout(context.Background(), 4*time.Minute)
	defer cancel()
	address, stop, err := start(ctx, root)
	if err != nil {
		return err
	}
	defer stop()
	options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.NoSandbox)
	ctx, cancel = chromedp.NewExecAllocator(ctx, options...)
	defer cancel()
	for _, size := range []struct {
		name          string
		width, height int64
	}{{"phone", 390, 844}, {"desk", 1280, 900}} {
		if err := visit(ctx, address, root, out, size.name, size.width, size.height); err != nil {
			return fmt.Errorf("%s: %w", size.name, err)
		}
	}
	return nil
}

// start builds and runs the server, and returns where it is.
func start(ctx context.Context, root string) (address string, stop func(), err error) {
	dir, err := os.MkdirTemp("", "page-")
	if err != nil {
		return "", nil, err
	}
	program := filepath.Join(dir, "page")
	build := exec.CommandContext(ctx, "go", "build", "-o", program, "./page")
	build.Dir = filepath.Join(root, "examples", "pictures")
	if text, err := build.CombinedOutput(); err != nil {
		return "", nil, fmt.Errorf("%w\n%s", err, text)
	}
	server := exec.CommandContext(ctx, program)
	stdout, err := server.StdoutPipe()
	if err != nil {
		return "", nil, err
	}
	if err := server.Start(); err != nil {
		return "", nil, err
	}
	stop = func() {
		_ = server.Process.Signal(os.Interrupt)
		_ = server.Wait()
		_ = os.RemoveAll(dir)
	}
	line, err := bufio.NewReader(stdout).ReadString('\n')
	if address = regexp.MustCompile(`http://\S+/`).FindString(line); address == "" {
		stop()
		return "", nil, fmt.Errorf("the server says %q (%w); expected its address", line, err)
	}
	return address, stop, nil
}

// quiet: newer browsers send events that the client does not know, which it would report.
var quiet = chromedp.WithErrorf(func(string, ...any) {})

// visit goes through all pages at one size.
func visit(ctx context.Context, address, root, out, name string, width, height int64) error {
	ctx, cancel := chromedp.NewContext(ctx, quiet)
	defer cancel()
	var complaints []string
	chromedp.ListenTarget(ctx, func(event any) {
		switch e := event.(type) {
		case *runtime.EventExceptionThrown:
			complaints = append(complaints, e.ExceptionDetails.Text)
		case *log.EventEntryAdded:
			// A browser asks for an icon unasked, and is told that there is none; refused entries
			// are meant to be answered with their status.
			if !strings.Contains(e.Entry.URL, "favicon") &&
				!strings.Contains(e.Entry.Text, "status of 4") {
				complaints = append(complaints, e.Entry.Text)
			}
		}
	})
	demo := filepath.Join(root, "examples", "boxcheck", "demo")
	file := func(field, name string) chromedp.Action {
		path, err := filepath.Abs(filepath.Join(demo, name))
		if err != nil {
			return chromedp.ActionFunc(func(context.Context) error { return err })
		}
		return chromedp.SetUploadFiles("#"+field, []string{path}, chromedp.ByQuery)
	}
	set := func(id, value string) chromedp.Action {
		return chromedp.SetValue("#"+id, value, chromedp.ByQuery)
	}
	// press waits for the page that answers.
	press := func(button string) chromedp.Action {
		return chromedp.ActionFunc(func(ctx context.Context) error {
			_, err := chromedp.RunResponse(ctx, chromedp.Click(button, chromedp.ByQuery))
			return err
		})
	}
	pages := []struct {
		name    string
		actions []chromedp.Action
		wants   []string
	}{
		{"budget", []chromedp.Action{
			chromedp.Navigate(address + "budget?model=quotient"),
			set("in0e", "20"), set("in1u", "5"),
			press(`form[action="/budget#result"] p > button`),
			chromedp.WaitVisible("#result", chromedp.ByQuery),
		}, []string{"I = (0.200", "the linear result", "Distribution of I", "halved"}},
		{"mistake", []chromedp.Action{
			chromedp.Navigate(address + "budget?model=quotient"),
			set("formula", "V:R"),
			press(`form[action="/budget#result"] p > button`),
			chromedp.WaitVisible("#formulaMessage", chromedp.ByQuery),
		}, []string{"see the fields that are marked"}},
		{"exercise", []chromedp.Action{
			chromedp.Navigate(address + "exercise?seed=5"),
			set("estimate", "5"), set("k", "1.96"),
			press(`form[action="/exercise"][method="post"] button`),
			chromedp.WaitVisible(".verdict", chromedp.ByQuery),
		}, []string{"of 7 right", "k of the normal distribution", "not answered"}},
		{"box", []chromedp.Action{
			chromedp.Navigate(address + "box"),
			file("boxFile", "box.json"), file("meterFile", "meter.json"),
			file("readingsFile", "readings.csv"),
			press(`form[enctype] p > button`),
			chromedp.WaitVisible(".verdict", chromedp.ByQuery),
			set("setting", "0-0-0-0-0-6"), set("values", "0.6121; 0.6123"),
			press(`button[value="add"]`),
			chromedp.WaitVisible(`.verdict`, chromedp.ByQuery),
		}, []string{"does not conform", "Next step", "Cautions", "0-0-0-0-0-6 #3",
			"Take the last one back"}},
	}
	for _, p := range pages {
		var text string
		var wider, unlabelled int
		actions := append([]chromedp.Action{chromedp.EmulateViewport(width, height)}, p.actions...)
		actions = append(actions,
			chromedp.Text("main", &text, chromedp.ByQuery),
			chromedp.Evaluate(`document.documentElement.scrollWidth - window.innerWidth`, &wider),
			chromedp.Evaluate(
				`[...document.querySelectorAll("input:not([type=hidden]), select, textarea")]`+
					`.filter(e => !e.labels.length).length`, &unlabelled))
		var picture []byte
		if out != "" {
			actions = append(actions, chromedp.FullScreenshot(&picture, 90))
		}
		if err := chromedp.Run(ctx, actions...); err != nil {
			return fmt.Errorf("page %s: %w", p.name, err)
		}
		for _, want := range p.wants {
			if !strings.Contains(text, want) {
				return fmt.Errorf("page %s lacks %q:\n%.1500s", p.name, want, text)
			}
		}
		if wider > 0 || unlabelled > 0 {
			return fmt.Errorf("page %s: %d pixels wider than the screen, %d fields without a "+
				"label; expected none", p.name, wider, unlabelled)
		}
		if out != "" {
			if err := errors.Join(os.MkdirAll(out, 0o777),
				os.WriteFile(filepath.Join(out, name+"-"+p.name+".jpg"), picture,
					0o666)); err != nil {
				return err
			}
		}
	}
	if len(complaints) > 0 {
		return fmt.Errorf("the browser complains: %q", complaints)
	}
	return nil
}
