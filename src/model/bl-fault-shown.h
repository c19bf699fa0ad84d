/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-indication-match.h"
#include "bl-library.h"
#include "bl-taps.h"

G_BEGIN_DECLS

/* What the lamps of a panel do, as it is said lamp by lamp, beside the indication tables of the board on the bench and of
 * all other documented editions with the same board number (of all boards where it has none). */
typedef struct BlFaultShown BlFaultShown;

/* own: the board on the bench, copied. NULL with error. (transfer full) */
BlFaultShown *bl_fault_shown_new (BlLibrary *library, gint64 board, const BlBoard *own, GError **error);
void bl_fault_shown_free (BlFaultShown *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BlFaultShown, bl_fault_shown_free)

/* Roles of lamps that the tables name, those of the board on the bench first; and those that were added. */
guint bl_fault_shown_n_lamps (BlFaultShown *self);
const char *bl_fault_shown_lamp (BlFaultShown *self, guint lamp);
/* Returns its number; a role that is there already is not added again. */
guint bl_fault_shown_add_lamp (BlFaultShown *self, const char *role);

/* Says what a lamp was seen to do, instead of what was said or tapped of it before: flashes in a group ... */
void bl_fault_shown_set_count (BlFaultShown *self, guint lamp, guint count);
/* ... flashes a second, above 0 ... */
void bl_fault_shown_set_rate (BlFaultShown *self, guint lamp, double rate_hz);
/* ... or lit or out all the time. */
void bl_fault_shown_set_steady (BlFaultShown *self, guint lamp, gboolean lit);
/* Not looked at. */
void bl_fault_shown_clear (BlFaultShown *self, guint lamp);
/* A key was pressed with a flash; seconds from any origin. More than ten seconds after the last one, or after something
 * else was said of the lamp, counting begins anew. What the taps are decided to be is what was seen. */
void bl_fault_shown_tap (BlFaultShown *self, guint lamp, double time);
/* Time went on without a tap. Returns: whether it said something new. */
gboolean bl_fault_shown_wait (BlFaultShown *self, guint lamp, double time);
guint bl_fault_shown_n_taps (BlFaultShown *self, guint lamp);

/* "flashes 5 times", "flashes 2 times a second", "lit", "out", "not looked at". Returns: (transfer full). */
char *bl_fault_shown_words (BlFaultShown *self, guint lamp);
/* What the taps say so far: "5 flashes: tap another group"; NULL: no taps. Returns: (transfer full). */
char *bl_fault_shown_taps_words (BlFaultShown *self, guint lamp);
/* Flashes in a group that were seen; 0: another thing, or nothing. */
guint bl_fault_shown_count (BlFaultShown *self, guint lamp);
gboolean bl_fault_shown_is_seen (BlFaultShown *self, guint lamp);
/* All lamps that were looked at, for the log: "operation flashes 5 times, economy lit"; NULL: none. (transfer full) */
char *bl_fault_shown_summary (BlFaultShown *self);

/* BlIndicationMatch; see bl_indication_matches (). (transfer none), valid until something is said or this is freed. */
GPtrArray *bl_fault_shown_matches (BlFaultShown *self);
/* How an entry fits: "fits", "fits so far: look at economy too", "nearly: economy would be lit"; and whose table it
 * is where it is not that of the board on the bench. Returns: (transfer full). */
char *bl_fault_shown_match_words (BlFaultShown *self, const BlIndicationMatch *match);
/* The entry stands in the document of the board on the bench, so that its symptom can be taken. */
gboolean bl_fault_shown_is_own_board (BlFaultShown *self, const BlIndicationMatch *match);
/* What cured earlier jobs of this board with the entry's symptom: "K1 4, C12 2, of 7 repairs"; NULL: none is known, or the
 * entry is of another board, or with error. job: the one on the bench, which does not count. (transfer full) */
char *bl_fault_shown_earlier (BlFaultShown *self, const BlIndicationMatch *match, gint64 job, GError **error);
/* What has to be said before any entry is believed: the edition is not established, or the same pattern means something
 * else on another one. NULL: nothing. Returns: (transfer full). */
char *bl_fault_shown_warning (BlFaultShown *self);

G_END_DECLS
