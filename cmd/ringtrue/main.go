// Command ringtrue is a record book for crews that thin young forest with clearing saws.
//
// main is glue: run is the program as a function of its streams, arguments and clock.
package main

import (
	"context"
	"os"
	"os/signal"
	"time"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	os.Exit(run(ctx, stdEnv(), os.Args[1:]))
}

func stdEnv() env {
	return env{in: os.Stdin, out: os.Stdout, err: os.Stderr, getenv: os.Getenv, now: time.Now, secret: secretFrom(os.Stdin, os.Stderr), handed: handedOver(os.Args)}
}
