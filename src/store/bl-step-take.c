/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Steps of undo taken back and redone: which one is next, whether it still stands, and what becomes of one that does not
 * apply any more. They are made in bl-library-steps.c; what a step is about is bl-step-items.c's. */
#include "config.h"

#include "bl-library-steps.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#include "bl-step-private.h"

/* --- which one --- */

/* The newest one done, or the oldest one undone, whether or not it stands; label (may be NULL) and place of it. */
static gint64
first_step (BlLibrary *library, const char *place, gint64 owner, gboolean undo, char **label)
{
  g_autoptr (BlStatement) statement
    = bl_step_prepare (library,
               undo ? "SELECT id, label FROM step WHERE place = ?1 AND owner = ?2 AND undone = 0 ORDER BY id DESC LIMIT 1"
                    : "SELECT id, label FROM step WHERE place = ?1 AND owner = ?2 AND undone = 1 ORDER BY id LIMIT 1",
               NULL);

  if (statement == NULL)
    return 0;
  bl_statement_bind_text (statement, 1, place);
  bl_statement_bind_int (statement, 2, owner);
  if (bl_statement_step (statement, NULL) != BL_STEP_ROW)
    return 0;
  if (label != NULL)
    *label = bl_statement_dup_text (statement, 1);
  return bl_statement_int (statement, 0);
}

/* Whether a linked step is the one that undo, or redo, would take at its own place. */
static gboolean
link_stands (BlLibrary *library, const char *subject, gboolean undo)
{
  g_autoptr (BlStatement) statement = bl_step_prepare (library, "SELECT place, owner FROM step WHERE id = ?1", NULL);
  gint64 id = g_ascii_strtoll (subject, NULL, 10);

  if (statement == NULL)
    return FALSE;
  bl_statement_bind_int (statement, 1, id);
  if (bl_statement_step (statement, NULL) != BL_STEP_ROW)
    return FALSE;
  g_autofree char *place = bl_statement_dup_text (statement, 0);
  return first_step (library, place, bl_statement_int (statement, 1), undo, NULL) == id;
}

static gboolean
stands (BlLibrary *library, gint64 id, gboolean undo)
{
  g_autoptr (GPtrArray) items = bl_step_items (library, id, NULL);

  for (guint i = 0; i < bl_len (items); i++)
    {
      const BlStepItem *item = bl_at (items, i);
      if (g_str_equal (item->kind, "step") ? !link_stands (library, item->subject, undo)
                                           : !bl_step_stands (library, item->kind, item->subject,
                                                              undo ? item->after : item->before))
        return FALSE;
    }
  return items != NULL;
}

gint64
bl_library_peek_step (BlLibrary *library, BlStepsPlace place, gint64 owner, gboolean undo, char **label)
{
  g_return_val_if_fail (library != NULL && place < G_N_ELEMENTS (bl_step_places), 0);

  for (;;)
    {
      g_autofree char *words = NULL;
      gint64 id = first_step (library, bl_step_places[place], owner, undo, &words);
      if (label != NULL)
        *label = NULL;
      if (id == 0)
        return 0;
      if (stands (library, id, undo))
        {
          if (label != NULL)
            *label = g_steal_pointer (&words);
          return id;
        }
      if (!bl_step_run (library, "DELETE FROM step WHERE id = ?1", id, 0, NULL))
        return 0;
    }
}

/* --- taking one --- */

void
bl_step_taken_clear (BlStepTaken *taken)
{
  g_clear_pointer (&taken->label, g_free);
  g_clear_pointer (&taken->touched, g_strfreev);
  taken->id = 0;
}

gboolean
bl_step_taken_has (const BlStepTaken *taken, const char *kind, const char **rest)
{
  gsize length = strlen (kind);

  for (guint i = 0; taken->touched != NULL && taken->touched[i] != NULL; i++)
    if (strncmp (taken->touched[i], kind, length) == 0 && taken->touched[i][length] == '\t')
      {
        if (rest != NULL)
          *rest = taken->touched[i] + length + 1;
        return TRUE;
      }
  return FALSE;
}

/* A step is linked to by newer ones only, so that no damaged library makes this go on for ever. */
static gboolean
take (BlLibrary *library, gint64 id, gint64 below, gboolean undo, GStrvBuilder *touched, gboolean *document,
      GError **error)
{
  g_autoptr (GPtrArray) items = id < below ? bl_step_items (library, id, error) : NULL;

  if (id >= below)
    g_set_error_literal (error, BL_STORE_ERROR, BL_STORE_ERROR_FAILED, _ ("the steps of undo are damaged"));
  if (items == NULL)
    return FALSE;
  for (guint n = 0; n < items->len; n++)
    {
      const BlStepItem *item = bl_at (items, undo ? items->len - 1 - n : n);
      g_autofree char *words = g_strdup_printf ("%s\t%s", item->kind, item->subject);
      g_strv_builder_add (touched, words);
      *document = *document || g_str_equal (item->kind, "document");
      if (g_str_equal (item->kind, "step")
            ? !take (library, g_ascii_strtoll (item->subject, NULL, 10), id, undo, touched, document, error)
            : !bl_step_put (library, id, item->kind, item->subject, undo ? item->after : item->before,
                            undo ? item->before : item->after, undo, error))
        return FALSE;
    }
  return bl_step_run (library, "UPDATE step SET undone = ?2 WHERE id = ?1", id, undo ? 1 : 0, error);
}

/* The step that does not apply any more, and those of the same document with it. */
static gboolean
drop (BlLibrary *library, gint64 id, gboolean document)
{
  return !document
           ? bl_step_run (library, "DELETE FROM step WHERE id = ?1", id, 0, NULL)
           : bl_step_run (library,
                  "DELETE FROM step WHERE id = ?1 OR id IN (SELECT i.step FROM step_item i WHERE i.kind = 'document' AND"
                  " i.subject IN (SELECT d.subject FROM step_item d WHERE d.kind = 'document' AND (d.step = ?1 OR d.step"
                  " IN (SELECT CAST (l.subject AS INTEGER) FROM step_item l WHERE l.kind = 'step' AND l.step = ?1))))",
                  id, 0, NULL);
}

static gboolean
refused (BlLibrary *library, const char *label, gint64 id, gboolean undo, gboolean document, GError *reason,
         GError **error)
{
  if (!g_error_matches (reason, BL_STORE_ERROR, BL_STORE_ERROR_OUTDATED))
    {
      g_propagate_error (error, g_error_copy (reason));
      return FALSE;
    }
  drop (library, id, document);
  g_set_error (error, BL_STORE_ERROR, BL_STORE_ERROR_OUTDATED,
               undo ? _ ("“%s” cannot be undone: %s. It is forgotten.") : _ ("“%s” cannot be redone: %s. It is forgotten."),
               label, reason->message);
  return FALSE;
}

gboolean
bl_library_take_step (BlLibrary *library, BlStepsPlace place, gint64 owner, gboolean undo, BlStepTaken *taken,
                      GError **error)
{
  g_autoptr (GStrvBuilder) touched = g_strv_builder_new ();
  g_autoptr (GError) reason = NULL;
  g_autofree char *label = NULL;
  gboolean document = FALSE;
  gint64 id;

  g_return_val_if_fail (library != NULL && taken != NULL && library->step == NULL, FALSE);
  *taken = (BlStepTaken){ 0 };
  id = bl_library_peek_step (library, place, owner, undo, &label);
  if (id == 0)
    return TRUE;
  if (!bl_step_begin (library, error))
    return FALSE;
  gboolean ok = take (library, id, G_MAXINT64, undo, touched, &document, &reason);
  ok = bl_step_end (library, ok, reason == NULL ? &reason : NULL);
  if (!ok)
    return refused (library, label, id, undo, document, reason, error);
  taken->id = id;
  taken->label = g_steal_pointer (&label);
  taken->touched = g_strv_builder_end (touched);
  return TRUE;
}
