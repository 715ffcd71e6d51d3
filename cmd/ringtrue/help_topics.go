package main

import "github.com/spf13/cobra"

// helpTopics are pages of help, no commands.
func helpTopics() []*cobra.Command {
	return []*cobra.Command{exitCodesTopic(), datesTopic(), signingTopic(), privacyTopic(), environmentTopic(), whoMayTopic()}
}

func exitCodesTopic() *cobra.Command {
	return &cobra.Command{
		Use:   "exit-codes",
		Short: "What the exit codes mean",
		Long: `Every command ends with one of these, the same with --json:

  0    done, and every list
  1    understood, but refused
  2    command line not understood, values of flags included
  3    the answer is no: a tailgate check or change that holds, a call that did not come, a head count that is short;
       a sign-off, lift or release with evidence missing; standing --check; evidence check
  4    our book, but damaged, cut short or against the seal, from any command
  130  interrupted

Where a command is refused, nothing is written.`,
	}
}

func datesTopic() *cobra.Command {
	return &cobra.Command{
		Use:   "dates",
		Short: "How days and times are written, and which of two times is meant",
		Long: `Every entry has two times: when it happened, and when the book learned of it.

  --at WHEN     when it happened; without it, now. It may lie back, never ahead.
  --on WHEN     a question about that day: what was true then. It may lie ahead.
  --known WHEN  the same question, as far as this book knew then. It may not lie ahead.

WHEN is one of these, in the book's time zone unless it says its own:

  2026-05-05                   a day: for --at its noon, for --on and --known its end
  2026-05-05T10:20             a day and clock time
  2026-05-05T10:20:00-07:00    a moment with its offset

Also understood where it can mean one thing only: 5.5.2026, 2026/05/05, 5/13/2026, today, yesterday, and a clock time
alone for today, as 10:20, or behind a day. What could be two days is refused with both of them.

Ends are days on which something no longer holds: "until 2027-03-01" means not on 1 March. A month on from
31 January is the last day of February. When the two times of an entry differ by more than a day, answers say so.

Examples:
  ringtrue skill observe ana 3.3 --at 2026-05-05T10:20 --announced no --met all
  ringtrue standing ana --on 2026-07-14 --known 2026-07-14`,
	}
}

// standingWords stand in the help of ringtrue standing.
const standingWords = `For each worker and skill the first of these that fits is the standing:

  restricted      somebody stopped the worker from using the skill, or a critical point was missed
  signed off      a supervisor decided that the skill is held, on evidence
  due             the same, and it ends soon: renew it
  lapsed          a sign-off has run out, or the skill was not used for too long
  to decide       the evidence is complete and nobody has decided; works as under training
  under training  everything else

The numbers behind the words (how many looks, how long a sign-off lasts) are house rules: ringtrue house show.
Anybody may stop a skill, at any time: ringtrue skill restrict. On a terminal the matrix folds to the screen
and says what it hid; in a pipe it is all there, a row for each worker and skill.
`

func signingTopic() *cobra.Command {
	return &cobra.Command{
		Use:   "signing",
		Short: "How decisions are signed, and what a signature shows",
		Long: `Sign-offs, lifts, releases and tailgate answers carry the personal signature of who decides, once they have a key.
Every entry has a hash and all of them together one root, so a later change shows: ringtrue book verify.

  ringtrue key make --as okafor   a key for okafor, locked with a passphrase of their own
  ringtrue key list               the keys the book knows, with their days
  ringtrue key end okafor         it may no longer be used: lost, seen by others, or its holder has left
  ringtrue key vouch okafor       the company says, signed, whose key it is and for what
  ringtrue book seal              a signed size and root of this device's ledger, to keep elsewhere
  ringtrue evidence copy ana      her sign-offs in force, signed once more, for her to take along
  ringtrue evidence check FILE    who signed what somebody brought along, and what that cannot tell

A decision told by phone waits for its signature and changes nothing until then. Stops need no key. A passphrase is
asked for at the terminal or read with --passphrase-fd; it is never taken from the command line. A signature shows
who decided and that nothing was changed since, not that the decision was right. Without a seal kept elsewhere nobody
can see that the newest entries were cut off.`,
	}
}

func environmentTopic() *cobra.Command {
	return &cobra.Command{
		Use:   "environment",
		Short: "What is taken from the environment, and how long answers are shown",
		Long: `These are read where they are set:

  RINGTRUE_BOOK    the book, where --book names none
  RINGTRUE_PAGER   the program that shows answers longer than the screen; cat shows them without one
  PAGER            the same, for all programs; without either it is less, or more
  XDG_DATA_HOME    the folder under which a book stands that nobody names: ringtrue/book.db
  TERM             "dumb": nothing is drawn and nothing is paged

Only answers to questions, and help, are shown page by page, and only on a terminal: in less the space bar goes on, b
goes back, q ends. In a pipe, with --json or with --plain everything is printed at once, tables with tabs between.

Examples:
  export RINGTRUE_BOOK=~/crew/book.db
  RINGTRUE_PAGER=cat ringtrue standing ana`,
	}
}

func privacyTopic() *cobra.Command {
	return &cobra.Command{
		Use:   "privacy",
		Short: "What the book keeps about people, and how a person is forgotten",
		Long: `Names and contacts stand in one list of the book. Entries hold an id drawn at random instead, so that a person can be
forgotten without breaking the proof that nothing was changed.

  ringtrue worker show ana      everything on the list about ana
  ringtrue evidence show ana    what stands behind their standing
  ringtrue worker forget ana    the name is erased; what was recorded stays, under the id

After that, no restored copy and no other device brings the name back. Free text is kept as typed and cannot be erased:
write roles instead of names, and nothing about health beyond fit or not fit. Whether records may be kept, and for how
long, is for the law of the place: ringtrue rules list.`,
	}
}

func whoMayTopic() *cobra.Command {
	return &cobra.Command{
		Use:   "who-may",
		Short: "Who may decide what, and who may take it back",
		Long: `Anybody may stop: restrict a worker, withdraw a sign-off, report a defect, tag a saw, call "hurt". No appointment is asked.

  look at a skill              named to observe that skill, and not the worker
  teach                        named to teach
  sign off, lift, release,     named to sign that skill; never their own
    accept earlier training
  clear a saw                  the owner, or named to clear; not who found the defect, unless a house rule allows it
  name people, end that,       the owner, or named to sign; nobody but the owner names themselves
    say who has left
  adopt an edition of the      the owner, or named to sign
    curriculum, house rules or
    local rules; forget

Crossing out (ringtrue book strike):

  a fact                       anybody, with a reason
  what lets somebody work      the owner, or who is named for that decision; never a person whom it concerns
  what stops                   the same, with a second person who agrees: --with WORKER, or --with NAME --reached HOW

What stops: a restriction, a withdrawal, a missed critical point, a tag, a stopping defect, a missed call, a short head
count, a condemned piece, somebody who left, an appointment that was ended, a change of the day that holds.
Striking a look with a missed critical point does not lift what it restricted: that needs a lift on a later met look.`,
	}
}
