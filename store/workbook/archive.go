package workbook

import (
	"archive/zip"
	"compress/flate"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math"
	"strings"
	"time"

	"github.com/xuri/excelize/v2"
)

// packing is the effort of compression: 1 packs about four times as fast as 6 for a file a quarter larger (measured on
// 100,000 rows of 10 columns; company choice).
const packing = flate.BestSpeed

// maxPart is the size of one part before packing, in bytes, that needs no ZIP64 record: the streamed header of a larger
// part says version 2.0 where 4.5 is due, which some spreadsheet programs call damaged (excelize v2.11.1,
// writeZip64LFH).
const maxPart = math.MaxUint32

// partTime is the time of every part, so that it tells nothing: the first moment that a ZIP directory can write.
var partTime = time.Date(1980, 1, 1, 0, 0, 0, 0, time.UTC)

// archive is the ZIP file of the workbook. The library writes all its parts at once and into memory, its streamed
// sheets in no fixed order. So it is given this in place of its own ZIP writer (SetZipWriter) and made to write once
// after each sheet: the archive packs the new sheet straight into the file, drops what it has or does not want yet,
// and takes the remaining parts in the last pass. It remembers the first error, since the library drops some.
type archive struct {
	ctx        context.Context
	zip        *zip.Writer
	pack       *flate.Writer
	sheetsOnly bool
	done       map[string]bool
	held       map[string]bool // worksheets that are not filled yet
	limit      int64
	err        error
}

func newArchive(ctx context.Context, out io.Writer) *archive {
	a := &archive{ctx: ctx, zip: zip.NewWriter(out), sheetsOnly: true, done: map[string]bool{}, held: map[string]bool{}, limit: maxPart}
	a.zip.RegisterCompressor(zip.Deflate, a.compressor)
	return a
}

// compressor uses one packer for all parts, which follow one another.
func (a *archive) compressor(out io.Writer) (_ io.WriteCloser, err error) {
	if a.pack == nil {
		a.pack, err = flate.NewWriter(out, packing)
		return a.pack, err
	}
	a.pack.Reset(out)
	return a.pack, nil
}

// open serves as excelize.File.ZipWriter; the library's own buffer stays empty.
func (a *archive) open(io.Writer) excelize.ZipWriter { return a }

// Create begins a part, or throws away one that is not wanted in this pass.
func (a *archive) Create(name string) (io.Writer, error) {
	if a.done[name] || a.held[name] || a.sheetsOnly && !strings.HasPrefix(name, "xl/worksheets/") {
		return io.Discard, nil
	}
	a.done[name] = true
	out, err := a.zip.CreateHeader(&zip.FileHeader{Name: name, Method: zip.Deflate, Modified: partTime})
	if err != nil {
		return nil, a.fail(err)
	}
	return &part{archive: a, out: out, name: name}, nil
}

// AddFS is part of the library's interface and never used for workbooks made here.
func (a *archive) AddFS(fs.FS) error { return a.fail(errors.New("a workbook takes no folder")) }

// Close ends a pass; end ends the file.
func (a *archive) Close() error { return a.err }

func (a *archive) end() error {
	if a.err != nil {
		return a.err
	}
	return a.zip.Close()
}

// fail keeps the first error.
func (a *archive) fail(err error) error {
	if a.err == nil {
		a.err = err
	}
	return err
}

// part is one file of the archive while it is written.
type part struct {
	archive *archive
	out     io.Writer
	name    string
	size    int64
}

func (p *part) Write(b []byte) (int, error) {
	if err := p.archive.ctx.Err(); err != nil {
		return 0, p.archive.fail(err)
	}
	if p.size += int64(len(b)); p.size > p.archive.limit {
		return 0, p.archive.fail(fmt.Errorf("%s is larger than %d bytes; write fewer rows", p.name, p.archive.limit))
	}
	n, err := p.out.Write(b)
	if err != nil {
		return n, p.archive.fail(err)
	}
	return n, nil
}
