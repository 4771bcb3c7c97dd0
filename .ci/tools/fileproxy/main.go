// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

// Fileproxy packs the module in a directory as a proxy would serve it, so that
// another module can require it through GOPROXY=file://DIR.
//
// Usage: fileproxy ROOT DIR VERSION. Packing obeys the rules of the go command:
// nested modules stay out, file names must be portable, the size is limited.
package main

import (
	"fmt"
	"os"
	"path/filepath"

	"golang.org/x/mod/modfile"
	"golang.org/x/mod/module"
	"golang.org/x/mod/zip"
)

func main() {
	if len(os.Args) != 4 {
		fmt.Fprintln(os.Stderr, "usage: fileproxy ROOT DIR VERSION")
		os.Exit(2)
	}
	if err := serve(os.Args[1], os.Args[2], os.Args[3]); err != nil {
		fmt.Fprintln(os.Stderr, "fileproxy:", err)
		os.Exit(1)
	}
}

// serve writes the four files a proxy has for a version of the module in root.
func serve(root, dir, version string) error {
	mod, err := os.ReadFile(filepath.Join(root, "go.mod"))
	if err != nil {
		return err
	}
	path := modfile.ModulePath(mod)
	escaped, err := module.EscapePath(path)
	if err != nil {
		return err
	}
	dir = filepath.Join(dir, filepath.FromSlash(escaped), "@v")
	if err := os.MkdirAll(dir, 0o777); err != nil {
		return err
	}
	for name, text := range map[string]string{
		"list":            version + "\n",
		version + ".info": fmt.Sprintf("{\"Version\":%q}\n", version),
		version + ".mod":  string(mod),
	} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o666); err != nil {
			return err
		}
	}
	f, err := os.Create(filepath.Join(dir, version+".zip"))
	if err != nil {
		return err
	}
	if err := zip.CreateFromDir(f, module.Version{Path: path, Version: version}, root); err != nil {
		_ = f.Close() // the first error is the one to tell
		return err
	}
	return f.Close()
}
