package main

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"syscall"
)

// mayWrite refuses an output that is the book itself, or a file that is there unless it may be replaced.
func (a *app) mayWrite(out string, replace bool) error {
	there, err := a.placeFor(out)
	if err == nil && there && !replace {
		err = refuse("name another file, or add --replace", "%s is there already", out)
	}
	return err
}

// mayCreate refuses an output that is there at all, for commands that replace no file.
func (a *app) mayCreate(out string) error {
	there, err := a.placeFor(out)
	if err == nil && there {
		err = refuse("name another file with -o, or move the old one away", "%s is there already", out)
	}
	return err
}

// placeFor reports whether a file is where an output is to go, and refuses the book, its parts, and folders.
func (a *app) placeFor(out string) (there bool, err error) {
	if out == "" {
		return false, usage("add -o FILE", "where to write: -o is missing")
	}
	if strings.HasPrefix(filepath.Base(out), filepath.Base(a.book.Path())+"-") {
		return false, refuse("name another file with -o", "%s is named like a part of the book", out)
	}
	info, err := os.Stat(out)
	if err != nil {
		return false, nil // it is not there, or the write will say why it cannot be
	}
	if book, err := os.Stat(a.book.Path()); err == nil && os.SameFile(info, book) {
		return true, refuse("name another file with -o", "%s is the book itself; it is not written over", out)
	}
	if info.IsDir() {
		return true, refuse("name a file in it", "%s is a folder", out)
	}
	return true, nil
}

// writeOut writes a file where mayWrite lets it.
func (a *app) writeOut(out string, text []byte, replace bool) error {
	if err := a.mayWrite(out, replace); err != nil {
		return err
	}
	return writeWhole(out, text)
}

// writeWhole writes a file for its owner alone, beside its place, and moves it there: it appears whole or not at all.
func writeWhole(out string, text []byte) error {
	f, err := os.CreateTemp(filepath.Dir(out), ".ringtrue-*") // mode 0600
	if err != nil {
		return unwritten("write "+out, err)
	}
	_, err = f.Write(text)
	err = errors.Join(err, f.Sync(), f.Close())
	if err == nil {
		err = os.Rename(f.Name(), out)
	}
	if err != nil {
		return errors.Join(unwritten("write "+out, err), os.Remove(f.Name()))
	}
	return nil
}

// unwritten turns down a file that could not be written, and says by the cause what to do next. Nothing of it is left.
func unwritten(doing string, err error) error {
	if errors.Is(err, syscall.ENOSPC) {
		return refuse("free some space or name a file on another disk with -o, then do it again", "%s: the disk is full; no file was left", doing)
	}
	return refuse("name another file with -o", "%s: %v", doing, err)
}
