/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The open board document with its undo. A step of undo is a whole copy of the document before and
 * after: a board of a hundred components copies in well under a millisecond, and so every change, made
 * by whatever part of the program, can be undone without an inverse of its own. The library is written
 * in the same call, so memory and file never part. At most MAX_HISTORY steps are kept.
 */
#include "config.h"

#include "bl-edition.h"

#include "bl-board-edit.h"
#include "bl-document.h"
#include "bl-edition-parts.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#define MAX_HISTORY 200

typedef struct
{
  BlBoard *board;
  char *label;     /* of the change that led here; NULL for the first */
  char *merge_key; /* of that change, or NULL */
  guint step;      /* 0: the first */
} Snapshot;

struct _BlEdition
{
  GObject parent_instance;

  BlLibrary *library; /* not owned: outlives the window */
  gint64 id;
  GPtrArray *history; /* Snapshot, never empty */
  guint at;           /* the present one */
  guint generation;
  guint steps;        /* number of the newest */
  BlBoard *draft;     /* between begin and commit */
  char *draft_label, *draft_key;
};

enum
{
  PROP_UNDO_LABEL = 1,
  PROP_REDO_LABEL,
  N_PROPS
};
enum
{
  CHANGED,
  N_SIGNALS
};
static GParamSpec *properties[N_PROPS];
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (BlEdition, bl_edition, G_TYPE_OBJECT)

static void
snapshot_free (gpointer data)
{
  Snapshot *snapshot = data;
  bl_board_free (snapshot->board);
  g_free (snapshot->label);
  g_free (snapshot->merge_key);
  g_free (snapshot);
}

static Snapshot *
present (BlEdition *self)
{
  return bl_at (self->history, self->at);
}

static void
announce (BlEdition *self)
{
  self->generation++;
  g_object_notify_by_pspec (G_OBJECT (self), properties[PROP_UNDO_LABEL]);
  g_object_notify_by_pspec (G_OBJECT (self), properties[PROP_REDO_LABEL]);
  g_signal_emit (self, signals[CHANGED], 0);
}

BlEdition *
bl_edition_new (BlLibrary *library, gint64 board, GError **error)
{
  g_autoptr (BlBoard) loaded = bl_library_load_board (library, board, error);
  if (loaded == NULL)
    return NULL;

  BlEdition *self = g_object_new (BL_TYPE_EDITION, NULL);
  Snapshot *first = g_new0 (Snapshot, 1);
  first->board = g_steal_pointer (&loaded);
  g_ptr_array_add (self->history, first);
  self->library = library;
  self->id = board;
  return self;
}

const BlBoard *
bl_edition_get_board (BlEdition *self)
{
  g_return_val_if_fail (BL_IS_EDITION (self), NULL);
  return present (self)->board;
}

BlLibrary *
bl_edition_get_library (BlEdition *self)
{
  g_return_val_if_fail (BL_IS_EDITION (self), NULL);
  return self->library;
}

gint64
bl_edition_get_id (BlEdition *self)
{
  g_return_val_if_fail (BL_IS_EDITION (self), 0);
  return self->id;
}

guint
bl_edition_get_generation (BlEdition *self)
{
  g_return_val_if_fail (BL_IS_EDITION (self), 0);
  return self->generation;
}

/* --- changes --- */

BlBoard *
bl_edition_begin (BlEdition *self, const char *label, const char *merge_key)
{
  g_return_val_if_fail (BL_IS_EDITION (self), NULL);
  g_return_val_if_fail (label != NULL, NULL);

  bl_edition_cancel (self);
  self->draft = bl_board_copy (present (self)->board);
  self->draft_label = g_strdup (label);
  self->draft_key = g_strdup (merge_key);
  return self->draft;
}

void
bl_edition_cancel (BlEdition *self)
{
  g_return_if_fail (BL_IS_EDITION (self));
  g_clear_pointer (&self->draft, bl_board_free);
  g_clear_pointer (&self->draft_label, g_free);
  g_clear_pointer (&self->draft_key, g_free);
}

static gboolean
check (const BlBoard *board, GError **error)
{
  g_autoptr (GPtrArray) problems = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_problem_free);

  if (bl_board_validate (board, problems))
    return TRUE;
  for (guint i = 0; i < problems->len; i++)
    {
      const BlProblem *problem = bl_at (problems, i);
      if (problem->warning)
        continue;
      g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID, "%s: %s", problem->path, problem->message);
      break;
    }
  return FALSE;
}

static void
push (BlEdition *self)
{
  Snapshot *last = present (self);
  gboolean merges = self->at > 0 && self->at == self->history->len - 1 && self->draft_key != NULL
                    && g_strcmp0 (last->merge_key, self->draft_key) == 0;

  if (merges)
    {
      bl_board_free (last->board);
      last->board = g_steal_pointer (&self->draft);
      return;
    }
  g_ptr_array_set_size (self->history, (int) self->at + 1);
  Snapshot *next = g_new0 (Snapshot, 1);
  next->board = g_steal_pointer (&self->draft);
  next->label = g_steal_pointer (&self->draft_label);
  next->merge_key = g_steal_pointer (&self->draft_key);
  next->step = ++self->steps;
  g_ptr_array_add (self->history, next);
  if (self->history->len > MAX_HISTORY)
    g_ptr_array_remove_index (self->history, 0);
  self->at = self->history->len - 1;
}

gboolean
bl_edition_commit (BlEdition *self, GError **error)
{
  g_return_val_if_fail (BL_IS_EDITION (self), FALSE);
  g_return_val_if_fail (self->draft != NULL, FALSE);

  if (!check (self->draft, error) || !bl_library_save_board (self->library, self->id, self->draft, error))
    {
      bl_edition_cancel (self);
      return FALSE;
    }
  push (self);
  bl_edition_cancel (self);
  announce (self);
  return TRUE;
}

void
bl_edition_settle (BlEdition *self)
{
  g_return_if_fail (BL_IS_EDITION (self));
  g_clear_pointer (&present (self)->merge_key, g_free);
}

static gboolean
go_to (BlEdition *self, guint at, GError **error)
{
  const Snapshot *target = bl_at (self->history, at);

  if (!bl_library_save_board (self->library, self->id, target->board, error))
    return FALSE;
  self->at = at;
  announce (self);
  return TRUE;
}

const char *
bl_edition_get_undo_label (BlEdition *self)
{
  g_return_val_if_fail (BL_IS_EDITION (self), NULL);
  return self->at > 0 ? present (self)->label : NULL;
}

guint
bl_edition_get_step (BlEdition *self)
{
  g_return_val_if_fail (BL_IS_EDITION (self), 0);
  return present (self)->step;
}

guint
bl_edition_get_next_step (BlEdition *self)
{
  g_return_val_if_fail (BL_IS_EDITION (self), 0);
  return self->at + 1 < self->history->len ? ((Snapshot *) bl_at (self->history, self->at + 1))->step : 0;
}

const char *
bl_edition_get_redo_label (BlEdition *self)
{
  g_return_val_if_fail (BL_IS_EDITION (self), NULL);
  return self->at + 1 < self->history->len ? ((Snapshot *) bl_at (self->history, self->at + 1))->label : NULL;
}

gboolean
bl_edition_undo (BlEdition *self, GError **error)
{
  g_return_val_if_fail (BL_IS_EDITION (self), FALSE);
  bl_edition_cancel (self);
  return self->at == 0 || go_to (self, self->at - 1, error);
}

gboolean
bl_edition_redo (BlEdition *self, GError **error)
{
  g_return_val_if_fail (BL_IS_EDITION (self), FALSE);
  bl_edition_cancel (self);
  return self->at + 1 >= self->history->len || go_to (self, self->at + 1, error);
}

GPtrArray *
bl_edition_get_problems (BlEdition *self)
{
  g_return_val_if_fail (BL_IS_EDITION (self), NULL);
  GPtrArray *problems = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_problem_free);
  bl_board_validate (present (self)->board, problems);
  return problems;
}

static void
bl_edition_get_property (GObject *object, guint id, GValue *value, GParamSpec *pspec)
{
  BlEdition *self = BL_EDITION (object);

  if (id == PROP_UNDO_LABEL)
    g_value_set_string (value, bl_edition_get_undo_label (self));
  else if (id == PROP_REDO_LABEL)
    g_value_set_string (value, bl_edition_get_redo_label (self));
  else
    G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
}

static void
bl_edition_finalize (GObject *object)
{
  BlEdition *self = BL_EDITION (object);

  bl_edition_cancel (self);
  g_clear_pointer (&self->history, g_ptr_array_unref);
  G_OBJECT_CLASS (bl_edition_parent_class)->finalize (object);
}

static void
bl_edition_class_init (BlEditionClass *klass)
{
  GObjectClass *object_class = G_OBJECT_CLASS (klass);
  const GParamFlags flags = G_PARAM_READABLE | G_PARAM_EXPLICIT_NOTIFY | G_PARAM_STATIC_STRINGS;

  object_class->get_property = bl_edition_get_property;
  object_class->finalize = bl_edition_finalize;
  properties[PROP_UNDO_LABEL] = g_param_spec_string ("undo-label", NULL, NULL, NULL, flags);
  properties[PROP_REDO_LABEL] = g_param_spec_string ("redo-label", NULL, NULL, NULL, flags);
  g_object_class_install_properties (object_class, N_PROPS, properties);
  signals[CHANGED] = g_signal_new ("changed", BL_TYPE_EDITION, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
}

static void
bl_edition_init (BlEdition *self)
{
  self->history = g_ptr_array_new_with_free_func (snapshot_free);
}
