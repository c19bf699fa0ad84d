/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What stands below the sentences while a failure mode is in hand: its pieces to be chosen without typing, what
 * each measurement would read with it, and which other faults read the same. On the photo the points that would
 * read otherwise wear the shape of their verdict. */
#include "config.h"

#include "bl-editor-modes.h"

#include <glib/gi18n-lib.h>

#include "bl-chooser.h"
#include "bl-edition-sentence.h"
#include "bl-format.h"
#include "bl-preview-row.h"

/* --- pieces --- */

static void
add_button (BlSheet *sheet, BlElement element, const char *words, const char *tip, const BlRef *ref)
{
  g_autofree char *act = g_strdup_printf ("add-%d", element);
  bl_sheet_button (sheet, words, NULL, tip, act, ref);
}

static void
effect_lines (BlSheet *sheet, const BlComponent *component, const BlMode *mode)
{
  for (guint i = 0; i < bl_len (mode->effects); i++)
    {
      BlRef effect = bl_ref_mode (BL_ELEMENT_EFFECT, component->id, mode->mode, i);
      bl_sheet_line (sheet, NULL, 0, NULL, NULL);
      bl_sheet_words (sheet, i == 0 ? _ ("→ then") : _ ("and"), "muted");
      bl_sheet_slot (sheet, &effect, BL_SLOT_ON, 0, FALSE);
      bl_sheet_words (sheet, C_ ("effect", "is"), "muted");
      bl_sheet_slot (sheet, &effect, BL_SLOT_IS, 0, FALSE);
      bl_sheet_words (sheet, C_ ("effect", "in"), "muted");
      bl_sheet_slot (sheet, &effect, BL_SLOT_IN, 0, FALSE);
      bl_sheet_button (sheet, "✕", NULL, _ ("Delete this effect"), "remove", &effect);
    }
  for (guint i = 0; i < bl_len (mode->provokes); i++)
    {
      BlRef link = bl_ref_mode (BL_ELEMENT_PROVOKES, component->id, mode->mode, i);
      bl_sheet_line (sheet, NULL, 0, NULL, NULL);
      bl_sheet_words (sheet, _ ("→ brings about"), "muted");
      bl_sheet_slot (sheet, &link, BL_SLOT_TARGET, 0, FALSE);
      bl_sheet_slot (sheet, &link, BL_SLOT_CHANCE, 7, TRUE);
      bl_sheet_words (sheet, _ ("own figure"), "muted small");
      bl_sheet_button (sheet, "✕", NULL, _ ("It does not bring that about"), "remove", &link);
    }
}

static void
show_lines (BlSheet *sheet, const BlComponent *component, const BlMode *mode, const BlRef *ref)
{
  if (mode->shows == NULL)
    return;
  bl_sheet_line (sheet, NULL, 0, NULL, NULL);
  bl_sheet_slot (sheet, ref, BL_SLOT_SHOWS, 7, TRUE);
  bl_sheet_words (sheet, _ ("of the rounds; own figure"), "muted");
  for (guint i = 0; i < mode->shows->len; i++)
    {
      BlRef show = bl_ref_mode (BL_ELEMENT_SHOW, component->id, mode->mode, i);
      if (*g_array_index (mode->shows, BlShows, i).condition == '\0')
        continue;
      bl_sheet_line (sheet, NULL, 0, NULL, NULL);
      bl_sheet_slot (sheet, &show, BL_SLOT_CONDITION, 10, TRUE);
      bl_sheet_slot (sheet, &show, BL_SLOT_CHANCE, 7, FALSE);
      bl_sheet_button (sheet, "✕", NULL, _ ("Delete this condition"), "remove", &show);
    }
}

static void
piece_lines (BlSheet *sheet, const BlComponent *component, const BlMode *mode)
{
  BlRef ref = bl_ref_mode (BL_ELEMENT_MODE, component->id, mode->mode, 0);

  effect_lines (sheet, component, mode);
  show_lines (sheet, component, mode, &ref);
  if (bl_mode_is_proposed (mode))
    {
      bl_sheet_line (sheet, NULL, 0, NULL, NULL);
      bl_sheet_words (sheet, _ ("proposed: common practice, no source. Does it hold on this board?"), "wrap");
      bl_sheet_button (sheet, _ ("accept"), _ ("A"), _ ("Accept the proposed effects"), "mode-accept", &ref);
    }
  bl_sheet_line (sheet, NULL, 0, NULL, NULL);
  add_button (sheet, BL_ELEMENT_EFFECT, _ ("+ effect"), _ ("Add what this fault makes of a stage or measurement"),
              &ref);
  add_button (sheet, BL_ELEMENT_PROVOKES, _ ("+ brings about"), _ ("Add a fault that this one brings about"), &ref);
  add_button (sheet, BL_ELEMENT_SHOW, _ ("+ when"), _ ("It shows itself only at times, or when wet, hot, tapped"),
              &ref);
  bl_sheet_slot (sheet, &ref, BL_SLOT_WEIGHT, 11, TRUE);
  bl_sheet_button (sheet, _ ("delete this fault"), NULL, _ ("Delete this failure mode"), "remove", &ref);
}

/* --- what it reads --- */

static void
also_fill (BlChooser *chooser, BlEditor *self)
{
  const BlEditorModes *modes = bl_editor_modes (self);
  BlRef ref = bl_ref_mode (BL_ELEMENT_PROVOKES, modes != NULL ? modes->component : NULL,
                           modes != NULL ? modes->mode : NULL, 0);
  g_autoptr (GPtrArray) choices = bl_slot_choices (bl_edition_get_board (self->edition), &ref, BL_SLOT_TARGET);

  for (guint i = 0; i < choices->len; i++)
    bl_chooser_add (chooser, ((BlChoice *) bl_at (choices, i))->value, ((BlChoice *) bl_at (choices, i))->words);
}

static void
also_chosen (BlChooser *chooser, const char *value, BlEditor *self)
{
  g_auto (GStrv) halves = g_strsplit (value, ":", 2);

  if (halves[0] == NULL || halves[1] == NULL)
    return;
  BlRef ref = bl_ref_mode (BL_ELEMENT_MODE, halves[0], halves[1], 0);
  bl_editor_act (self, "mode-also", &ref);
}

/* "RV1 shorted", at the same time or brought about. */
static void
along_lines (BlSheet *sheet, const BlEditorModes *modes)
{
  for (guint i = 0; i < modes->preview->along->len; i++)
    {
      const BlPreviewAlong *along = bl_at (modes->preview->along, i);
      BlRef ref = bl_ref_mode (BL_ELEMENT_MODE, along->component, along->mode, 0);
      g_autofree char *chance = bl_format_odds (along->chance);
      g_autofree char *words
        = g_strdup_printf (along->there ? _ ("with %s %s, which it brings about in %s of cases")
                                        : _ ("without %s %s, which it brings about in %s of cases"),
                           along->component, along->mode, chance);
      bl_sheet_line (sheet, NULL, 0, NULL, NULL);
      bl_sheet_words (sheet, words, "stretch");
      bl_sheet_button (sheet, along->there ? _ ("see it without") : _ ("see it with"), NULL, words, "mode-along", &ref);
    }
  for (guint i = 0; i < modes->also->len; i++)
    {
      g_auto (GStrv) halves = g_strsplit (bl_at (modes->also, i), ":", 2);
      BlRef ref = bl_ref_mode (BL_ELEMENT_MODE, halves[0], halves[1], 0);
      g_autofree char *words = g_strdup_printf (_ ("and %s %s at the same time"), halves[0], halves[1]);
      bl_sheet_line (sheet, NULL, 0, NULL, NULL);
      bl_sheet_words (sheet, words, "stretch");
      bl_sheet_button (sheet, "✕", NULL, _ ("Not at the same time"), "mode-also", &ref);
    }
}

static void
reading_head (BlEditor *self, BlSheet *sheet, const BlEditorModes *modes)
{
  GtkWidget *chooser = bl_chooser_new (_ ("Another fault at the same time"), FALSE);

  bl_sheet_line (sheet, "list-head block", 0, NULL, NULL);
  bl_sheet_words (sheet, _ ("The board would read"), "heading");
  bl_sheet_words (sheet, modes->unreadable ? _ ("as before what is typed: that cannot be read yet")
                         : modes->typed != NULL ? _ ("with what is typed") : "",
                  "muted stretch");
  bl_chooser_show (BL_CHOOSER (chooser), "", _ ("+ another fault at once"), TRUE);
  g_signal_connect_object (chooser, "fill", G_CALLBACK (also_fill), self, 0);
  g_signal_connect_object (chooser, "chosen", G_CALLBACK (also_chosen), self, 0);
  bl_sheet_widget (sheet, "also", chooser);
}

/* "V5 absent 0 0.04": the line is made anew when any of it changes. */
static void
row_line (BlSheet *sheet, const BlBoard *board, const BlPreviewRow *row)
{
  const BlMeasurement *measurement = bl_at (board->measurements, row->measurement);
  BlRef ref = bl_ref (BL_ELEMENT_MEASUREMENT, measurement->id);
  g_autofree char *values = bl_preview_row_values (measurement, row);
  g_autofree char *key
    = g_strdup_printf ("%s\t%s\t%s\t%.6g\t%.6g", measurement->id, row->class_name, values, row->band->low, row->band->high);
  g_autofree char *tip = g_strdup_printf (_ ("Show %s on the photo"), measurement->at != NULL ? measurement->at : "–");

  bl_sheet_line (sheet, "preview-row", 0, NULL, NULL);
  if (measurement->at != NULL)
    bl_sheet_button (sheet, measurement->at, NULL, tip, "mode-reveal", &ref);
  else
    bl_sheet_words (sheet, measurement->id, "strong id-column");
  bl_sheet_widget (sheet, key, bl_preview_row_new (board, row));
}

/* Points whose photo is not the one shown. */
static guint
count_elsewhere (BlEditor *self, const BlEditorModes *modes)
{
  guint n = 0;

  for (guint i = 0; i < modes->preview->rows->len; i++)
    {
      const BlPreviewRow *row = bl_at (modes->preview->rows, i);
      const BlMeasurement *measurement = bl_at (modes->board->measurements, row->measurement);
      const BlTestPoint *point
        = row->good || measurement->at == NULL ? NULL : bl_board_test_point (modes->board, measurement->at);
      n += point != NULL && point->photo != NULL && g_strcmp0 (point->photo, self->photo_id) != 0;
    }
  return n;
}

/* "3 measurements read otherwise · 2 of them on another photo, F3 · 5 stay good" (transfer full) */
static char *
reading_words (const BlPreview *preview, guint elsewhere)
{
  guint good = preview->rows->len - preview->n_changed, changed = preview->n_changed;
  g_autoptr (GStrvBuilder) parts = g_strv_builder_new ();
  g_autofree char *read
    = changed == 0 ? g_strdup (_ ("no measurement sees it: all stay as on a sound board. Say an effect on a stage that "
                                  "is read, or on a measurement"))
                   : g_strdup_printf (ngettext ("%u measurement reads otherwise", "%u measurements read otherwise",
                                                changed), changed);
  g_autofree char *beyond = g_strdup_printf (ngettext ("%u of them on another photo, F3",
                                                       "%u of them on another photo, F3", elsewhere), elsewhere);
  g_autofree char *stay = g_strdup_printf (ngettext ("%u stays good", "%u stay good", good), good);

  g_strv_builder_add (parts, read);
  if (elsewhere > 0)
    g_strv_builder_add (parts, beyond);
  if (changed > 0)
    g_strv_builder_add (parts, stay);
  if (preview->at_times)
    g_strv_builder_add (parts, _ ("in a round in which it shows itself"));
  g_auto (GStrv) all = g_strv_builder_end (parts);
  return g_strjoinv (" · ", all);
}

static void
reading_lines (BlEditor *self, BlSheet *sheet, const BlEditorModes *modes)
{
  const BlPreview *preview = modes->preview;
  g_autofree char *words = reading_words (preview, count_elsewhere (self, modes));

  bl_sheet_line (sheet, NULL, 0, NULL, NULL);
  bl_sheet_words (sheet, words, "wrap");
  for (guint i = 0; i < preview->rows->len; i++)
    if (!((BlPreviewRow *) bl_at (preview->rows, i))->good)
      row_line (sheet, modes->board, bl_at (preview->rows, i));
}

/* --- what looks the same --- */

static void
add_fault (GString *words, const char *fault)
{
  g_auto (GStrv) halves = g_strsplit (fault, ":", 2);
  g_string_append_printf (words, "%s%s %s", words->len > 0 ? ", " : "", halves[0], halves[1] != NULL ? halves[1] : "");
}

#define MOST_NEAR 6

static void
alike_lines (BlSheet *sheet, const BlEditorModes *modes)
{
  const BlPreview *preview = modes->preview;
  g_autoptr (GString) words = g_string_new (NULL);

  bl_sheet_line (sheet, "list-head block", 0, NULL, NULL);
  bl_sheet_words (sheet, _ ("Told apart"), "heading stretch");
  for (guint i = 0; i < preview->alike->len; i++)
    add_fault (words, bl_at (preview->alike, i));
  bl_sheet_line (sheet, NULL, 0, NULL, NULL);
  if (preview->alike->len == 0)
    bl_sheet_words (sheet, preview->n_changed > 0 ? _ ("no other documented fault reads the same everywhere")
                                                  : _ ("from a sound board by nothing"), "wrap");
  else
    {
      g_autofree char *same = g_strdup_printf (_ ("not from %s: the same at every measurement"), words->str);
      bl_sheet_words (sheet, same, "wrap");
    }
  for (guint i = 0; preview->n_changed > 0 && i < preview->near->len && i < MOST_NEAR; i++)
    {
      const BlPreviewNear *near = bl_at (preview->near, i);
      const BlMeasurement *measurement = bl_at (modes->board->measurements, near->measurement);
      const BlPreviewRow row = { .class_name = near->class_name };
      g_autoptr (GString) fault = g_string_new (NULL);
      add_fault (fault, near->fault);
      g_autofree char *line
        = g_strdup_printf (_ ("from %s only by %s (%s): there %s"), fault->str,
                           measurement->title != NULL ? measurement->title : measurement->id,
                           measurement->at != NULL ? measurement->at : measurement->id, bl_preview_row_word (&row));
      bl_sheet_line (sheet, NULL, 0, NULL, NULL);
      bl_sheet_words (sheet, line, "muted wrap");
    }
}

/* --- all --- */

static void
head_line (BlSheet *sheet, const BlEditorModes *modes)
{
  g_autofree char *title = g_strdup_printf ("%s %s", modes->component, modes->is_new ? _ ("new fault") : modes->mode);

  bl_sheet_line (sheet, "list-head", 0, NULL, NULL);
  bl_sheet_words (sheet, title, "heading stretch");
  bl_sheet_button (sheet, _ ("‹ structure"), _ ("Esc"), _ ("Back to the structure"), "mode-leave", NULL);
}

gboolean
bl_editor_preview_list (BlEditor *self, BlSheet *sheet)
{
  const BlEditorModes *modes = bl_editor_modes (self);
  const BlComponent *component;
  const BlMode *mode;

  if (modes == NULL)
    return FALSE;
  component = bl_board_component (bl_edition_get_board (self->edition), modes->component);
  mode = component != NULL && !modes->is_new ? bl_component_mode (component, modes->mode) : NULL;
  head_line (sheet, modes);
  if (mode != NULL)
    piece_lines (sheet, component, mode);
  reading_head (self, sheet, modes);
  if (modes->trouble != NULL || modes->preview == NULL)
    {
      bl_sheet_line (sheet, NULL, 0, NULL, NULL);
      bl_sheet_words (sheet, modes->trouble != NULL ? modes->trouble : _ ("nothing said yet"), "muted wrap");
      return TRUE;
    }
  along_lines (sheet, modes);
  reading_lines (self, sheet, modes);
  alike_lines (sheet, modes);
  return TRUE;
}

/* --- on the photo --- */

static BlPhotoItem *
standing_there (const GPtrArray *items, const char *id)
{
  for (guint i = 0; i < items->len; i++)
    {
      BlPhotoItem *item = bl_at (items, i);
      if (item->kind == BL_PHOTO_POINT && g_strcmp0 (item->id, id) == 0)
        return item;
    }
  return NULL;
}

/* A point where several measurements are taken wears the first that is not good. */
void
bl_editor_preview_points (BlEditor *self, GPtrArray *items)
{
  const BlEditorModes *modes = bl_editor_modes (self);

  for (guint i = 0; modes != NULL && modes->preview != NULL && i < modes->preview->rows->len; i++)
    {
      const BlPreviewRow *row = bl_at (modes->preview->rows, i);
      const BlMeasurement *measurement = bl_at (modes->board->measurements, row->measurement);
      const BlTestPoint *point
        = row->good || measurement->at == NULL ? NULL : bl_board_test_point (modes->board, measurement->at);
      BlPhotoItem *item;
      if (point == NULL || g_strcmp0 (point->photo, self->photo_id) != 0 || isnan (point->x))
        continue;
      item = standing_there (items, point->id);
      if (item != NULL && item->shape >= 0)
        continue;
      if (item == NULL)
        {
          item = bl_photo_item_new (BL_PHOTO_POINT, point->id, point->id, point->x, point->y);
          g_ptr_array_add (items, item);
        }
      item->shape = (int) bl_shape_for_class (row->class_name, row->band);
    }
}
