/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The open board document with its undo. The library is written in the same call, so memory and file never part; the
 * steps of undo are kept there too (bl-library-steps.h), as what differs between two documents, so that they are
 * there again when the program was closed or killed, and every change, made by whatever part of the program, can be
 * undone without an inverse of its own.
 *
 * The document in the library may be changed by something else meanwhile: the bench, an import, another program. A
 * change of what is not there any more is refused, and what is there is read.
 */
#include "config.h"

#include "bl-edition.h"

#include "bl-board-edit.h"
#include "bl-document.h"
#include "bl-edition-parts.h"
#include "bl-library-equipment-jobs.h"

#include <glib/gi18n-lib.h>
#include <string.h>

struct _BlEdition
{
  GObject parent_instance;

  BlLibrary *library; /* not owned: outlives the window */
  gint64 id;        /* 0: the boards of an equipment, joined */
  gint64 equipment; /* 0: a board */
  BlBoard *board;
  char *digest;     /* of the document in the library that board was read from, or saved as */
  guint generation;
  gint64 job;       /* on the bench; 0: none */
  char *undo_label, *redo_label;
  gint64 step, next_step;
  char *merge_key; /* of the newest step, while a change may still become part of it */
  BlBoard *draft;  /* between begin and commit */
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
  PHOTO_CHANGED,
  N_SIGNALS
};
static GParamSpec *properties[N_PROPS];
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (BlEdition, bl_edition, G_TYPE_OBJECT)

/* What could be undone and redone now. */
static void
look_at_steps (BlEdition *self)
{
  g_clear_pointer (&self->undo_label, g_free);
  g_clear_pointer (&self->redo_label, g_free);
  self->step = self->next_step = 0;
  if (self->equipment != 0)
    return;
  self->step = bl_library_peek_step (self->library, BL_STEPS_EDITION, self->id, TRUE, &self->undo_label);
  self->next_step = bl_library_peek_step (self->library, BL_STEPS_EDITION, self->id, FALSE, &self->redo_label);
}

static void
announce (BlEdition *self)
{
  look_at_steps (self);
  self->generation++;
  g_object_notify_by_pspec (G_OBJECT (self), properties[PROP_UNDO_LABEL]);
  g_object_notify_by_pspec (G_OBJECT (self), properties[PROP_REDO_LABEL]);
  g_signal_emit (self, signals[CHANGED], 0);
}

/* Of the document in the library; of an equipment, of all that it is joined from. (transfer full) */
static char *
digest_now (BlEdition *self, GError **error)
{
  return self->equipment != 0 ? bl_library_equipment_digest (self->library, self->equipment, error)
                              : bl_library_board_digest (self->library, self->id, error);
}

static BlBoard *
board_now (BlEdition *self, GError **error)
{
  return self->equipment != 0 ? bl_library_join_equipment (self->library, self->equipment, NULL, error)
                              : bl_library_load_board (self->library, self->id, error);
}

/* Reads the document anew. */
static gboolean
load (BlEdition *self, GError **error)
{
  g_autofree char *digest = digest_now (self, error);
  BlBoard *board = digest != NULL ? board_now (self, error) : NULL;

  if (board == NULL)
    return FALSE;
  g_clear_pointer (&self->board, bl_board_free);
  self->board = board;
  g_free (self->digest);
  self->digest = g_steal_pointer (&digest);
  return TRUE;
}

static BlEdition *
open_edition (BlLibrary *library, gint64 board, gint64 equipment, GError **error)
{
  g_autoptr (BlEdition) self = g_object_new (BL_TYPE_EDITION, NULL);

  self->library = library;
  self->id = board;
  self->equipment = equipment;
  if (!load (self, error))
    return NULL;
  look_at_steps (self);
  return g_steal_pointer (&self);
}

BlEdition *
bl_edition_new (BlLibrary *library, gint64 board, GError **error)
{
  return open_edition (library, board, 0, error);
}

BlEdition *
bl_edition_new_joined (BlLibrary *library, gint64 equipment, GError **error)
{
  return open_edition (library, 0, equipment, error);
}

void
bl_edition_set_job (BlEdition *self, gint64 job)
{
  g_return_if_fail (BL_IS_EDITION (self));
  self->job = job;
}

const BlBoard *
bl_edition_get_board (BlEdition *self)
{
  g_return_val_if_fail (BL_IS_EDITION (self), NULL);
  return self->board;
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
  self->draft = bl_board_copy (self->board);
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

gboolean
bl_edition_catch_up (BlEdition *self, GError **error)
{
  g_return_val_if_fail (BL_IS_EDITION (self), FALSE);
  g_autofree char *digest = digest_now (self, error);

  if (digest == NULL)
    return FALSE;
  if (strcmp (digest, self->digest) == 0)
    {
      gint64 step = self->step, next = self->next_step;
      look_at_steps (self);
      if (step != self->step || next != self->next_step)
        announce (self);
      return TRUE;
    }
  bl_edition_cancel (self);
  g_clear_pointer (&self->merge_key, g_free);
  if (!load (self, error))
    return FALSE;
  announce (self);
  return TRUE;
}

/* What is joined is a copy: a change belongs to the board, which stands in other equipments and jobs, too. */
static gboolean
check_own (BlEdition *self, GError **error)
{
  if (self->equipment == 0)
    return TRUE;
  g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID,
               _ ("The boards of an equipment are changed one by one: open the board under Boards, or as a job of its "
                  "own"));
  return FALSE;
}

/* Refuses a change of a document that is not there any more, and reads what is. */
static gboolean
check_present (BlEdition *self, GError **error)
{
  g_autofree char *digest = bl_library_board_digest (self->library, self->id, error);

  if (digest == NULL || strcmp (digest, self->digest) == 0)
    return digest != NULL;
  if (bl_edition_catch_up (self, error))
    g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID,
                 _ ("The board was changed by something else since it was opened; it was read anew"));
  return FALSE;
}

/* A change with the merge key of the newest step becomes part of it. */
static gboolean
begin_step (BlEdition *self, const char *label, const char *merge_key, gint64 *merged, GError **error)
{
  *merged = 0;
  if (merge_key != NULL && g_strcmp0 (merge_key, self->merge_key) == 0 && self->step != 0 && self->next_step == 0
      && bl_library_continue_step (self->library, self->step, NULL))
    {
      *merged = self->step;
      return TRUE;
    }
  return bl_library_begin_step (self->library, BL_STEPS_EDITION, self->id, label, error);
}

/* What the bench did to the document stands in the job's history as well. */
static gboolean
link_to_job (BlEdition *self, gint64 step, const char *label, GError **error)
{
  gboolean ok;

  if (self->job == 0 || step == 0)
    return TRUE;
  if (!bl_library_begin_step (self->library, BL_STEPS_JOB, self->job, label, error))
    return FALSE;
  ok = bl_library_step_link (self->library, step, error);
  return bl_library_end_step (self->library, ok, NULL, error);
}

/* draft NULL: the document stays. */
static gboolean
save (BlEdition *self, const BlBoard *draft, const char *label, const char *merge_key, BlEditionAside aside,
      gpointer data, GError **error)
{
  gint64 merged, step = 0;
  gboolean ok;

  if (!begin_step (self, label, merge_key, &merged, error))
    return FALSE;
  ok = (draft == NULL || bl_library_save_board (self->library, self->id, draft, error))
       && (aside == NULL || aside (self, data, error));
  return bl_library_end_step (self->library, ok, &step, error)
         && (merged != 0 || link_to_job (self, step, label, error));
}

static gboolean
save_together (BlEdition *self, const BlBoard *draft, const char *label, const char *merge_key, BlEditionAside aside,
               gpointer data, GError **error)
{
  if (!bl_library_begin (self->library, _ ("saving the board"), error))
    return FALSE;
  return bl_library_end (self->library, save (self, draft, label, merge_key, aside, data, error),
                         _ ("saving the board"), error);
}

gboolean
bl_edition_commit_with (BlEdition *self, BlEditionAside aside, gpointer data, GError **error)
{
  g_return_val_if_fail (BL_IS_EDITION (self), FALSE);
  g_return_val_if_fail (self->draft != NULL, FALSE);
  g_autoptr (BlBoard) draft = g_steal_pointer (&self->draft);
  g_autofree char *label = g_steal_pointer (&self->draft_label), *key = g_steal_pointer (&self->draft_key);
  g_autofree char *digest = NULL;

  if (!check_own (self, error) || !check (draft, error) || !check_present (self, error)
      || !save_together (self, draft, label, key, aside, data, error))
    return FALSE;
  /* Not NULL: it was written a moment ago; if it cannot be read all the same, the next change reads it anew. */
  digest = bl_library_board_digest (self->library, self->id, NULL);
  g_free (self->digest);
  self->digest = digest != NULL ? g_steal_pointer (&digest) : g_strdup ("");
  bl_board_free (self->board);
  self->board = g_steal_pointer (&draft);
  g_free (self->merge_key);
  self->merge_key = g_steal_pointer (&key);
  announce (self);
  return TRUE;
}

gboolean
bl_edition_commit (BlEdition *self, GError **error)
{
  return bl_edition_commit_with (self, NULL, NULL, error);
}

void
bl_edition_photo_changed (BlEdition *self, const char *photo)
{
  g_return_if_fail (BL_IS_EDITION (self) && photo != NULL);
  g_signal_emit (self, signals[PHOTO_CHANGED], 0, photo);
  g_signal_emit (self, signals[CHANGED], 0);
}

gboolean
bl_edition_aside (BlEdition *self, const char *label, BlEditionAside aside, gpointer data, GError **error)
{
  g_return_val_if_fail (BL_IS_EDITION (self) && aside != NULL, FALSE);

  if (!check_own (self, error) || !save_together (self, NULL, label, NULL, aside, data, error))
    return FALSE;
  bl_edition_settle (self);
  announce (self);
  return TRUE;
}

void
bl_edition_settle (BlEdition *self)
{
  g_return_if_fail (BL_IS_EDITION (self));
  g_clear_pointer (&self->merge_key, g_free);
}

/* --- undo and redo --- */

/* Reads what a step that was taken left behind, and says so. */
static gboolean
follow (BlEdition *self, const BlStepTaken *taken, GError **error)
{
  const char *photo = NULL;

  bl_edition_settle (self);
  if (!load (self, error))
    return FALSE;
  if (bl_step_taken_has (taken, "photo", &photo) && strchr (photo, '\t') != NULL)
    g_signal_emit (self, signals[PHOTO_CHANGED], 0, strchr (photo, '\t') + 1);
  announce (self);
  return TRUE;
}

gboolean
bl_edition_follow_step (BlEdition *self, const BlStepTaken *taken, GError **error)
{
  g_return_val_if_fail (BL_IS_EDITION (self) && taken != NULL, FALSE);
  return follow (self, taken, error);
}

static gboolean
take (BlEdition *self, gboolean undo, GError **error)
{
  g_auto (BlStepTaken) taken = { 0 };
  const BlStepTaken none = { 0 };

  bl_edition_cancel (self);
  if (self->equipment != 0)
    return TRUE; /* nothing was done here */
  if (bl_library_take_step (self->library, BL_STEPS_EDITION, self->id, undo, &taken, error))
    return taken.id == 0 || follow (self, &taken, error);
  follow (self, &none, NULL); /* it may have been refused because another document is there */
  return FALSE;
}

gboolean
bl_edition_undo (BlEdition *self, GError **error)
{
  g_return_val_if_fail (BL_IS_EDITION (self), FALSE);
  return take (self, TRUE, error);
}

gboolean
bl_edition_redo (BlEdition *self, GError **error)
{
  g_return_val_if_fail (BL_IS_EDITION (self), FALSE);
  return take (self, FALSE, error);
}

const char *
bl_edition_get_undo_label (BlEdition *self)
{
  g_return_val_if_fail (BL_IS_EDITION (self), NULL);
  return self->undo_label;
}

guint
bl_edition_get_step (BlEdition *self)
{
  g_return_val_if_fail (BL_IS_EDITION (self), 0);
  return (guint) self->step;
}

const char *
bl_edition_get_redo_label (BlEdition *self)
{
  g_return_val_if_fail (BL_IS_EDITION (self), NULL);
  return self->redo_label;
}

GPtrArray *
bl_edition_get_problems (BlEdition *self)
{
  g_return_val_if_fail (BL_IS_EDITION (self), NULL);
  GPtrArray *problems = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_problem_free);
  bl_board_validate (self->board, problems);
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
  g_clear_pointer (&self->board, bl_board_free);
  g_free (self->digest);
  g_free (self->undo_label);
  g_free (self->redo_label);
  g_free (self->merge_key);
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
  signals[PHOTO_CHANGED] = g_signal_new ("photo-changed", BL_TYPE_EDITION, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL,
                                         G_TYPE_NONE, 1, G_TYPE_STRING);
}

static void
bl_edition_init (BlEdition *self)
{
}
