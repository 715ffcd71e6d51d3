package store

import (
	"context"
	"database/sql"
	"errors"
)

// stmt prepares a statement once; a prepared statement keeps a durable append near the price of the bare commit.
func (b *Book) stmt(ctx context.Context, query string) (*sql.Stmt, error) {
	if s, ok := b.stmts[query]; ok {
		return s, nil
	}
	s, err := b.conn.PrepareContext(ctx, query)
	if err != nil {
		return nil, b.explain("read the book", err)
	}
	b.stmts[query] = s
	return s, nil
}

// The driver starts a goroutine for every statement whose context can be cancelled. Statements here are short, so
// they run to their end, and the context is asked between them, and between rows.
const askEvery = 256

// exec runs a statement that changes the book.
func (b *Book) exec(ctx context.Context, query string, args ...any) error {
	if err := b.mayWrite(ctx); err != nil {
		return err
	}
	s, err := b.stmt(ctx, query)
	if err != nil {
		return err
	}
	_, err = s.ExecContext(context.WithoutCancel(ctx), args...)
	return b.explain("write to the book", err)
}

// script runs statements that change the tables themselves.
func (b *Book) script(ctx context.Context, statements string) error {
	if err := b.mayWrite(ctx); err != nil {
		return err
	}
	_, err := b.conn.ExecContext(context.WithoutCancel(ctx), statements)
	return b.explain("write to the book", err)
}

func (b *Book) mayWrite(ctx context.Context) error {
	if b.spoiled {
		return errSpoiled // SQLite may have ended the transaction; what is written now could stay
	}
	b.writes++
	return ctx.Err()
}

// one reads one row into dest; without a row the error is sql.ErrNoRows.
func (b *Book) one(ctx context.Context, dest []any, query string, args ...any) error {
	if err := ctx.Err(); err != nil {
		return err
	}
	s, err := b.stmt(ctx, query)
	if err != nil {
		return err
	}
	row := s.QueryRowContext(context.WithoutCancel(ctx), args...)
	if err := row.Err(); err != nil {
		return b.explain("read the book", err)
	}
	if err = row.Scan(dest...); errors.Is(err, sql.ErrNoRows) {
		return err
	}
	return b.misread(err)
}

// each reads row after row into dest and calls f after each. f may ask the book again: while the rows of a statement
// are read, it is nobody else's.
func (b *Book) each(ctx context.Context, dest []any, f func() error, query string, args ...any) error {
	s, err := b.stmt(ctx, query)
	if err != nil {
		return err
	}
	delete(b.stmts, query)
	defer b.giveBack(query, s)
	rows, err := s.QueryContext(context.WithoutCancel(ctx), args...)
	if err != nil {
		return b.explain("read the book", err)
	}
	defer rows.Close()
	for n := 0; rows.Next(); n++ {
		if n%askEvery == 0 && ctx.Err() != nil {
			return ctx.Err()
		}
		if err := rows.Scan(dest...); err != nil {
			return b.misread(err)
		}
		if err := f(); err != nil {
			return err
		}
	}
	return b.explain("read the book", rows.Err())
}

func (b *Book) giveBack(query string, s *sql.Stmt) {
	if _, another := b.stmts[query]; another {
		_ = s.Close()
		return
	}
	b.stmts[query] = s
}
