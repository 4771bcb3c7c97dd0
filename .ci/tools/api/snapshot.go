// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
)

const extension = ".txt"

// save replaces the snapshots in dir.
func save(dir string, all map[string][]string) error {
	if err := os.RemoveAll(dir); err != nil {
		return err
	}
	for name, lines := range all {
		file := filepath.Join(dir, filepath.FromSlash(name)+extension)
		if err := os.MkdirAll(filepath.Dir(file), 0o777); err != nil {
			return err
		}
		if err := os.WriteFile(file, []byte(strings.Join(lines, "\n")+"\n"), 0o666); err != nil {
			return err
		}
	}
	return nil
}

// saved reads the snapshots in dir.
func saved(dir string) (map[string][]string, error) {
	all := map[string][]string{}
	err := filepath.WalkDir(dir, func(file string, e fs.DirEntry, err error) error {
		if err != nil || e.IsDir() || filepath.Ext(file) != extension {
			return err
		}
		text, err := os.ReadFile(file)
		if err != nil {
			return err
		}
		name, err := filepath.Rel(dir, strings.TrimSuffix(file, extension))
		all[filepath.ToSlash(name)] = strings.Split(strings.TrimSpace(string(text)), "\n")
		return err
	})
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	return all, err
}
