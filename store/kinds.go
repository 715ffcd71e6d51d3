package store

import (
	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
)

// kinds are all kinds of entries that this version knows. An entry of another kind comes from a newer version: what
// follows from it this version cannot tell, so it takes none.
var kinds = func() map[string]bool {
	known := map[string]bool{}
	for _, k := range []string{
		KindBook, KindCurriculum, KindHouse, KindRules, KindBlock, KindTailgate, KindJoin, KindChange, KindCheckIn, KindClose,
		KindExposure, KindFireDay, KindForm, KindStrike, KindDevice, KindSighting, KindForgotten, KindGone,
		KindSaw, KindRetire, KindBladeFitted, KindBladeScrapped, KindSawUse, KindUpkeep, KindRefuel, KindFiling, KindSetting,
		KindDefect, KindTag, KindClear, KindLookAgain, KindFitting, KindKit, KindPlots,
		ledger.KindKey, ledger.KindKeyEnd, ledger.KindRoster,
		training.KindWorker, training.KindLeave, training.KindAppointment, training.KindAppointmentEnd, training.KindAttendance, training.KindCredit,
		training.KindObservation, training.KindSignOff, training.KindWithdrawal, training.KindRestriction, training.KindLift,
		training.KindRelease, training.KindIssue, training.KindReturn, training.KindInspection, training.KindOrientation,
		training.KindNewAgain, training.KindTicket, training.KindSeasons, training.KindTold, training.KindReleaseEnd, training.KindStatement,
		training.KindEvent, training.KindAction, training.KindActionDone, training.KindActionChecked, training.KindEventClosed,
	} {
		known[k] = true
	}
	return known
}()
