// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"go/importer"
	"go/token"
	"io"
	"os"
	"os/exec"
	"slices"
	"strings"
)

// A listed package, as the go command describes it.
type listed struct {
	ImportPath, Name, Export string
	DepOnly                  bool
	Module                   *struct{ Path string }
}

// load returns the lines of every public package of the module in root, by the
// package's path below the module. The compiler's export data are read, by the
// reader of the same toolchain.
func load(root string) (map[string][]string, error) {
	packages, err := list(root)
	if err != nil {
		return nil, err
	}
	export := map[string]string{}
	for _, p := range packages {
		export[p.ImportPath] = p.Export
	}
	imp := importer.ForCompiler(token.NewFileSet(), "gc", func(path string) (io.ReadCloser, error) {
		return os.Open(export[path])
	})
	all := map[string][]string{}
	for _, p := range packages {
		if p.DepOnly || p.Module == nil || !public(p) {
			continue
		}
		pkg, err := imp.Import(p.ImportPath)
		if err != nil {
			return nil, err
		}
		name := strings.TrimPrefix(p.ImportPath, p.Module.Path+"/")
		all[name] = describe(pkg, p.Module.Path)
	}
	return all, nil
}

// list asks the go command for the packages of the module and what they import.
func list(root string) ([]listed, error) {
	cmd := exec.Command("go", "list", "-export", "-deps",
		"-json=ImportPath,Name,Export,DepOnly,Module", "./...")
	cmd.Dir = root
	// The snapshots describe one platform, whoever writes them.
	cmd.Env = append(os.Environ(), "PWD="+root, "GOOS=linux", "GOARCH=amd64", "CGO_ENABLED=0")
	var stderr bytes.Buffer
	cmd.Stderr = &stderr
	out, err := cmd.Output()
	if err != nil {
		return nil, fmt.Errorf("%w\n%s", err, stderr.String())
	}
	var packages []listed
	for d := json.NewDecoder(bytes.NewReader(out)); ; {
		var p listed
		if err := d.Decode(&p); errors.Is(err, io.EOF) {
			return packages, nil
		} else if err != nil {
			return nil, err
		}
		packages = append(packages, p)
	}
}

func public(p listed) bool {
	words := strings.Split(p.ImportPath, "/")
	return p.Name != "main" && !slices.Contains(words, "internal") &&
		!slices.Contains(words, "examples")
}
