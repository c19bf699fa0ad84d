/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-board-difference.h"
#include "bl-library-equipment.h"

G_BEGIN_DECLS

/* A file from another shop on its way into the library: what of it is there already, what it has otherwise, and
 * what is to be done with each. Nothing is written before bl_intake_run (), and that wholly or not at all. */

typedef enum
{
  BL_INTAKE_NEW,      /* the library has nothing like it */
  BL_INTAKE_SAME,     /* the library has just this */
  BL_INTAKE_DIFFERENT /* the library has it otherwise */
} BlIntakeFinding;

typedef enum
{
  BL_INTAKE_ADD,       /* NEW */
  BL_INTAKE_MERGE,     /* DIFFERENT: the chosen differences go into what is there */
  BL_INTAKE_KEEP_BOTH, /* DIFFERENT: a second one, with a mark of its own */
  BL_INTAKE_LEAVE      /* SAME, or DIFFERENT and not wanted */
} BlIntakeChoice;

/* A photo of one id whose pictures differ. */
typedef struct
{
  char *id;
  GBytes *mine, *theirs; /* mine NULL: the library has no picture for it */
  gboolean take;         /* theirs comes in as a further photo, or, mine being NULL, as the picture of this one */
} BlIntakePhoto;

typedef struct
{
  const BlBundle *bundle;
  BlIntakeFinding finding;
  BlIntakeChoice choice;
  gboolean by_uid;        /* found by its uid; FALSE: by board number and edition */
  gint64 board;           /* the one that is there; 0: NEW */
  guint n_jobs;           /* that belong to it */
  BlBoard *mine, *theirs; /* both documents; theirs with the file names of mine, which no library keeps */
  GPtrArray *differences; /* BlDifference, as bl_board_differences () gives them, "take" as it is chosen */
  GPtrArray *photos;      /* BlIntakePhoto */
  char *edition;          /* KEEP_BOTH: the edition of the second one */
  gint64 result;          /* after bl_intake_run (): the board that there is now */
  guint taken, left;      /* after it, MERGE: how many differences */
} BlIntakeBoard;

typedef struct
{
  BlLibrary *library;
  BlDelivery *delivery;
  GPtrArray *boards; /* BlIntakeBoard, as the delivery has them */
  /* The equipment; meaningless where the delivery has none. */
  BlIntakeFinding finding;
  BlIntakeChoice choice; /* MERGE: what came takes the place of what is there */
  gint64 equipment;      /* the one that is there; 0: NEW */
  char *otherwise;       /* in words what it has otherwise: "conductors, effects" */
  char *title;           /* KEEP_BOTH: the title of the second one */
  gint64 result;
} BlIntake;

/* Looks what of delivery (transfer full) the library has. What the library has otherwise is chosen to be merged:
 * taken is what it alone has not, and nothing that both have. NULL with error. */
BlIntake *bl_intake_new (BlLibrary *library, BlDelivery *delivery, GError **error);
void bl_intake_free (BlIntake *intake);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BlIntake, bl_intake_free)

/* The worst of the findings: NEW counts for nothing where something is DIFFERENT, SAME where all of it is. */
BlIntakeFinding bl_intake_finding (const BlIntake *intake);

/* Sets "take" of every difference and picture. mine: only where the library has nothing; FALSE: theirs wins
 * wherever it has something, but nothing is removed. */
void bl_intake_take (BlIntakeBoard *board, gboolean mine);
/* Whether the difference is one where both say something. */
gboolean bl_intake_is_conflict (const BlDifference *difference);
/* Sets "take" of a difference with all that it says, and of what it cannot do without. */
void bl_intake_set_take (BlIntakeBoard *board, BlDifference *difference, gboolean take);
/* The same for one value of it. */
void bl_intake_set_field (BlIntakeBoard *board, BlDifference *difference, BlDifferenceField *field, gboolean take);
void bl_intake_take_nothing (BlIntakeBoard *board);
/* How many differences and pictures are chosen, and how many there are. */
guint bl_intake_count (const BlIntakeBoard *board, guint *all);

/* "RB-17, edition C". (transfer full) */
char *bl_intake_board_name (const BlIntakeBoard *board);

/* After the merge, before the pictures come in: where the picture of a photo is another one, what was taken from the
 * file and lies on it is moved to photo new_id, or (NULL) has no place any more: a place in the pixels of another
 * picture would be a wrong one. */
void bl_intake_move_places (const BlIntakeBoard *board, BlBoard *merged, const char *photo, const char *new_id);

/* Does what is chosen, in one transaction. Each merge is one step of undo of its edition. */
gboolean bl_intake_run (BlIntake *intake, GError **error);

G_END_DECLS
