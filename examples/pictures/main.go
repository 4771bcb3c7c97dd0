// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

// Pictures draws what the library computes: the deviations of a box against its class,
// the distribution of a Monte Carlo run, the shares of a budget, alloys against
// temperature, impedance against frequency, and drift with its prediction.
//
//	go run .
//	go run . -out pictures -format png -only deviations,drift
//
// All data are invented. The program is a module of its own, so that who imports the
// library does not inherit a plotting package. Each picture is one file to copy from.
//
// Colours are those of a published palette for colour-blind readers, and nothing is told
// by colour alone: lines differ in their dashes, points in their shapes.
package main

import (
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
)

// A picture is one drawing: its name is that of its files.
type picture struct {
	name  string
	build func() (*figure, error)
}

var pictures = []picture{
	{"deviations", deviations},
	{"montecarlo", monteCarlo},
	{"budget", budget},
	{"alloys", alloys},
	{"impedance", impedance},
	{"drift", drift},
}

func main() {
	if err := run(os.Args[1:], os.Stdout); err != nil {
		fmt.Fprintln(os.Stderr, "pictures:", err)
		os.Exit(1)
	}
}

func run(args []string, out io.Writer) error {
	flags := flag.NewFlagSet("pictures", flag.ContinueOnError)
	directory := flags.String("out", "", "`directory` to write to, made if it does not exist; default: a new temporary one")
	format := flags.String("format", "both", "svg, png or both")
	only := flags.String("only", "", "`names` of the pictures wanted, separated by commas; default: all")
	if err := flags.Parse(args); err != nil {
		return err
	}
	if flags.NArg() > 0 {
		return fmt.Errorf("argument %q; expected flags only", flags.Arg(0))
	}
	formats, err := chosenFormats(*format)
	if err != nil {
		return err
	}
	wanted, err := chosen(*only)
	if err != nil {
		return err
	}
	to, err := target(*directory)
	if err != nil {
		return err
	}
	for _, p := range wanted {
		if err := write(out, to, p, formats); err != nil {
			return fmt.Errorf("%s: %w", p.name, err)
		}
	}
	return nil
}

func chosenFormats(format string) ([]string, error) {
	switch format {
	case "svg", "png":
		return []string{format}, nil
	case "both":
		return []string{"svg", "png"}, nil
	}
	return nil, fmt.Errorf("format %q; expected svg, png or both", format)
}

func chosen(names string) ([]picture, error) {
	if names == "" {
		return pictures, nil
	}
	var wanted []picture
	for name := range strings.SplitSeq(names, ",") {
		i := slices.IndexFunc(pictures, func(p picture) bool { return p.name == strings.TrimSpace(name) })
		if i < 0 {
			return nil, fmt.Errorf("picture %q; expected some of deviations, montecarlo, budget, alloys, impedance, drift", name)
		}
		wanted = append(wanted, pictures[i])
	}
	return wanted, nil
}

func target(directory string) (string, error) {
	if directory == "" {
		return os.MkdirTemp("", "pictures-")
	}
	return directory, os.MkdirAll(directory, 0o777)
}

// write draws a picture and says where it is.
func write(out io.Writer, directory string, p picture, formats []string) error {
	f, err := p.build()
	if err != nil {
		return err
	}
	for _, format := range formats {
		data, err := f.encode(format)
		if err != nil {
			return err
		}
		name := filepath.Join(directory, p.name+"."+format)
		if err := os.WriteFile(name, data, 0o666); err != nil {
			return err
		}
		fmt.Fprintln(out, name)
	}
	return nil
}
