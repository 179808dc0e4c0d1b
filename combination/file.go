package combination

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"trundle/console"
	"trundle/console/finding"
)

// File is the memory file of one console, held against a second writer until
// it is closed or its process ends.
type File struct {
	path string // with symbolic links followed
	lock *os.File
	last []byte // what the file holds, nil while there is none
}

// DamagedError is a memory file that cannot be read. It is left as it is.
type DamagedError struct {
	Findings []finding.Finding
	Good     string // the last good copy, "" when there is none
}

func (e *DamagedError) Error() string {
	text := "the memory file is damaged and left as it is"
	if len(e.Findings) > 0 {
		text = fmt.Sprintf("%s: %s; %s", e.Findings[0].Place, e.Findings[0].Message, text)
	}
	if e.Good != "" {
		return text + "; the last good copy is " + e.Good
	}
	return text + "; there is no good copy"
}

// GoodCopy is the path of the last good copy of a memory file: what it held
// before the last save.
func GoodCopy(path string) string { return path + ".good" }

// Open takes the memory file at a path for one instrument and reads it; where
// there is none yet, memories in which nothing was set. The findings are what
// is worth knowing about a file that can be read. Errors are one line.
func Open(path string, in *console.Instrument) (*File, *Memories, []finding.Finding, error) {
	if followed, err := filepath.EvalSymlinks(path); err == nil {
		path = followed
	}
	lock, err := hold(path)
	if err != nil {
		return nil, nil, nil, err
	}
	f := &File{path: path, lock: lock}
	memories, findings, err := f.read(in)
	if err != nil {
		f.Close()
		return nil, nil, nil, err
	}
	f.sweep()
	return f, memories, findings, nil
}

// ReadFile reads a memory file without holding it.
func ReadFile(path string, in *console.Instrument) (*Memories, []finding.Finding, error) {
	return (&File{path: path}).read(in)
}

func (f *File) read(in *console.Instrument) (*Memories, []finding.Finding, error) {
	data, err := os.ReadFile(f.path)
	if errors.Is(err, fs.ErrNotExist) {
		return NewMemories(in), nil, nil
	}
	if err != nil {
		return nil, nil, fmt.Errorf("%s: cannot be read: %w", f.path, cause(err))
	}
	memories, findings := Read(in, f.path, data)
	if memories == nil {
		return nil, nil, &DamagedError{findings, f.goodCopy(in)}
	}
	f.last = data
	return memories, findings, nil
}

// goodCopy is the path of the last good copy, "" when there is none that can
// be read.
func (f *File) goodCopy(in *console.Instrument) string {
	path := GoodCopy(f.path)
	data, err := os.ReadFile(path)
	if err != nil {
		return ""
	}
	if good, _ := Read(in, path, data); good == nil {
		return ""
	}
	return path
}

// Save puts memories in the place of what the file holds, all or nothing: when
// it returns without error they are on disk; its errors say what became of the
// file. What it was before is kept as the good copy.
func (f *File) Save(m *Memories) error {
	now, err := os.ReadFile(f.path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		if f.last != nil {
			return fmt.Errorf("%s: was taken away by another program; nothing saved", f.path)
		}
	case err != nil:
		return fmt.Errorf("%s: cannot be read: %w; nothing saved", f.path, cause(err))
	case f.last == nil || !bytes.Equal(now, f.last):
		return fmt.Errorf("%s: was changed by another program since it was read; nothing saved", f.path)
	default:
		if err := keep(f.path, GoodCopy(f.path)); err != nil {
			return fmt.Errorf("%s: no copy can be kept: %w; nothing saved", f.path, cause(err))
		}
	}
	text := m.Text()
	if err := replace(f.path, text); err != nil {
		if now, unread := os.ReadFile(f.path); unread == nil && bytes.Equal(now, text) {
			f.last = text
			return fmt.Errorf("%s: is written, but the disk does not confirm it: %w", f.path, cause(err))
		}
		return fmt.Errorf("%s: cannot be saved: %w; nothing lost, it is as it was", f.path, cause(err))
	}
	f.last = text
	return nil
}

// Close lets another program have the file.
func (f *File) Close() error { return letGo(f.lock) }

// sweep takes away what a save that was killed left behind: files beside the
// memory file whose names begin with a dot and its name.
func (f *File) sweep() {
	dir, name := filepath.Split(f.path)
	entries, err := os.ReadDir(filepath.Clean(dir))
	if err != nil {
		return // then nothing can be left behind either
	}
	for _, entry := range entries {
		if rest, ok := strings.CutPrefix(entry.Name(), "."+name); ok && (rest == stepSuffix || strings.Trim(rest, "0123456789") == "") {
			os.Remove(filepath.Join(dir, entry.Name()))
		}
	}
}

// stepSuffix ends the name through which a good copy is put in its place.
const stepSuffix = "-good"

// keep makes a second name for what the file holds now, in one step.
func keep(path, good string) error {
	dir, name := filepath.Split(path)
	step := filepath.Join(dir, "."+name+stepSuffix)
	if err := os.Remove(step); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	if err := os.Link(path, step); err != nil {
		return copyTo(path, good) // a file system without links
	}
	return os.Rename(step, good)
}

func copyTo(path, good string) error {
	data, err := os.ReadFile(path)
	if err != nil {
		return err
	}
	return replace(good, data)
}

// cause is an error without the path that the message names already.
func cause(err error) error {
	var of *fs.PathError
	if errors.As(err, &of) {
		return of.Err
	}
	var link *os.LinkError
	if errors.As(err, &link) {
		return link.Err
	}
	return err
}
