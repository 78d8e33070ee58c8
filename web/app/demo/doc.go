// Package demo fills a store with an invented class: students with some weeks of
// work behind them, an instructor who has marked, and people at work just now.
// All of it goes through the service that takes every answer, at the times at which
// it is said to have happened, so that what the pages show was judged by the
// rules that judge everybody's work.
package demo
