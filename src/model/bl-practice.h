/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gio/gio.h>

#include "bl-library-practice.h"
#include "bl-practice-results.h"

G_BEGIN_DECLS

/* Practice: who practises, what is due, drills and questions, and how it went. All of it is in a library of its own, with
 * copies of the boards that were practised on; the shop's library is only read.
 *
 * Signal: "changed" (persons, drills, answers, and what follows from them). "Today" is the local day of bl_library_now (),
 * whose clock tests may set. */
#define BL_TYPE_PRACTICE (bl_practice_get_type ())
G_DECLARE_FINAL_TYPE (BlPractice, bl_practice, BL, PRACTICE, GObject)

/* shop: not owned, must live as long. path: the file, made when there is none; NULL: the usual one. */
BlPractice *bl_practice_new (BlLibrary *shop, const char *path, GError **error);
/* (transfer none) */
BlLibrary *bl_practice_get_library (BlPractice *self);
BlLibrary *bl_practice_get_shop (BlPractice *self);
/* As g_date_get_julian () counts. */
guint32 bl_practice_today (BlPractice *self);

/* --- persons --- */

/* BlPerson by name; valid until "changed". (transfer none) */
GPtrArray *bl_practice_get_persons (BlPractice *self);
/* Who practises now; NULL: nobody. Valid until "changed". */
const BlPerson *bl_practice_get_person (BlPractice *self);
gboolean bl_practice_set_person (BlPractice *self, gint64 person, GError **error);
/* A short name or initials. Who is added practises from now on. Returns the id, 0 on error. */
gint64 bl_practice_add_person (BlPractice *self, const char *name, GError **error);
gboolean bl_practice_rename_person (BlPractice *self, gint64 person, const char *name, GError **error);
/* With everything of theirs, for good. */
gboolean bl_practice_remove_person (BlPractice *self, gint64 person, GError **error);

/* --- topics, and when they are due --- */

typedef struct
{
  BlTopicKind kind;
  char *topic;      /* kind of section, or fault family */
  char *title;      /* "Find your way: relay" */
  guint n_right, n_wrong;
  guint32 due;      /* day */
  int days;         /* so many days until it is due; 0 and below: it is due */
} BlTopic;
void bl_topic_free (BlTopic *topic);
/* Everything that somebody has practised: what is due first, the longest first, then what comes next. (transfer full)
 * GPtrArray of BlTopic */
GPtrArray *bl_practice_topics (BlPractice *self, gint64 person, GError **error);
/* Of these the ones that are due today or before, for lists of many persons: without n_right and n_wrong, for which all
 * answers would have to be read. */
GPtrArray *bl_practice_due (BlPractice *self, gint64 person, GError **error);
/* How much oftener than another a topic is to be drawn, 1 to 4; see bl_weak_share (). */
double bl_practice_weight (BlPractice *self, gint64 person, BlTopicKind kind, const char *topic);

/* "supply", "relay" ... and fault families in words. (transfer full) */
char *bl_section_kind_words (const char *kind);
char *bl_family_words (const char *family);
/* Whether a fault "COMPONENT:MODE" is a short circuit in a supply, the mains part with it: planted into a real board it may
 * burn or trip at once. Common practice, no source. */
gboolean bl_practice_may_burn (const BlBoard *board, const char *fault);
/* "Find your way: relay". (transfer full) */
char *bl_topic_words (BlTopicKind kind, const char *topic);

/* Keeps an answer of the person who practises, WAY or READS, and when its topic is due again. subject: uid of the board;
 * section: kind of the section asked about, "": of none; what: what was asked for, as the document names it. A near answer is not
 * right. BL_STORE_ERROR_INVALID where nobody practises. */
gboolean bl_practice_answer (BlPractice *self, BlAnswerKind kind, const char *subject, const char *section, const char *what,
                             gboolean right, gboolean near, GError **error);

/* --- drills --- */

/* What a drill is to be about: a board, or an equipment, of the shop's library; the other is 0. */
typedef struct
{
  gint64 board, equipment;
} BlPracticeSubject;

/* Of a person, the newest first: composed, under way and ended ones. (transfer full) GPtrArray of BlDrillRow */
GPtrArray *bl_practice_drills (BlPractice *self, gint64 person, GError **error);
BlDrillRow *bl_practice_load_drill (BlPractice *self, gint64 drill, GError **error);
/* Adds a drill for a person. Refused where nothing like it can be drawn. Returns its id, 0 on error. */
gint64 bl_practice_add_drill (BlPractice *self, gint64 person, const BlPracticeSubject *subject, const BlDrillOrder *order,
                              GError **error);
/* Seals what the trainer did to a real board, "R12:open" each. */
gint64 bl_practice_plant (BlPractice *self, gint64 person, const BlPracticeSubject *subject, const char *const *faults,
                          GError **error);
/* Seeds that are drawn are 1 to this: short enough to be told to somebody. */
#define BL_PRACTICE_MOST_SEED 99999

/* A seed to order a drill or a worked case by: order's own (not 0), or else one that follows from it, so that nothing this
 * person met in the last drills and cases of the subject comes again while another fault is to be had; of what was met the
 * longest ago. The seed alone makes the drill afterwards, here and on the command line. 0 on error, such as an order that
 * cannot be met. */
guint32 bl_practice_fresh_seed (BlPractice *self, gint64 person, const BlPracticeSubject *subject, const BlDrillOrder *order,
                                GError **error);
/* The same drill for another person, or once more for the same one. Refused where
 * another has it still to do. */
gint64 bl_practice_give (BlPractice *self, gint64 drill, gint64 person, GError **error);
/* Takes a drill back that has not begun. */
gboolean bl_practice_delete_drill (BlPractice *self, gint64 drill, GError **error);

typedef struct
{
  BlPracticeSubject subject;
  guint n;                     /* so many drills */
  guint kinds;                 /* 1 << BlDrillKind, those that are wanted; those the board cannot have are left out */
  const char *const *sections; /* ids; NULL: all */
  guint32 seed;                /* the same seed and the same past give the same set */
  const char *family;          /* of the first fault; NULL: any */
} BlPracticeOrder;
/* Composes drills for somebody: first one for each topic (section, fault family) that is due today, the longest due first;
 * then from easy to hard, weak sections and families up to four times as often as strong ones. bl_practice_drills () has
 * them in this order. For two people the same set: compose it for one, give each drill to the other. Returns how many were
 * added, 0 on error: all or none. */
guint bl_practice_compose (BlPractice *self, gint64 person, const BlPracticeOrder *order, GError **error);

/* --- how it went --- */

/* (transfer full) */
BlPracticeResults *bl_practice_results (BlPractice *self, gint64 person, GError **error);
/* Everything practised, a line each, as RFC 4180 has it; person 0: of all. (transfer full) */
char *bl_practice_csv (BlPractice *self, gint64 person, GError **error);

G_END_DECLS
