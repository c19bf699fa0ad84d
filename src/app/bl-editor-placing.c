/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Placing one thing after the other on the photo: a name in hand, press, the next name, press ...
 *
 * While it lasts the strip over the photo says what the next press places and where it will belong; the
 * same goes with the pointer. What a name leads to is bl-edition-placing.c's; nothing is counted here, so
 * undo by any way leaves the right name in hand. Letters typed over the photo are a new name. */
#include "config.h"

#include "bl-editor-private.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#include "bl-designator.h"
#include "bl-edition-placing.h"
#include "bl-find.h"
#include "bl-format.h"
#include "bl-shell.h"
#include "bl-style.h"

struct _BlEditorPlacing
{
  GtkWidget *bar, *name, *what, *back;
  gboolean on, waiting; /* waiting: only what the document has and waits for a place */
  gboolean filling;     /* the entry is written by us */
  char *from;           /* name one began with */
  char *stage;          /* of a new component where no outline lies; NULL: none */
  GHashTable *left_out; /* of those that wait */
  GArray *steps;        /* guint: steps of undo made here */
  double x, y;          /* of the pointer, photo px; NAN: it was not there yet */
};

static BlElement
element_of (BlEditor *self)
{
  return self->part == BL_EDITOR_STRUCTURE ? BL_ELEMENT_COMPONENT : BL_ELEMENT_TEST_POINT;
}

static const char *
title_or_id (const char *title, const char *id)
{
  return title != NULL && *title != '\0' ? title : id;
}

/* What the next press places; NULL: nothing waits any more. (transfer full) */
static char *
in_hand (BlEditor *self)
{
  BlEditorPlacing *run = self->run;
  const BlBoard *board = bl_edition_get_board (self->edition);

  if (!run->waiting)
    return bl_placing_next (board, element_of (self), run->from);
  g_autoptr (GPtrArray) waiting = bl_placing_waiting (board, element_of (self));
  for (guint i = 0; i < waiting->len; i++)
    if (!bl_designator_set_has (run->left_out, g_ptr_array_index (waiting, i)))
      return g_strdup (g_ptr_array_index (waiting, i));
  return NULL;
}

/* --- words --- */

/* Where the component will belong when the press is where the pointer is; NULL: nowhere. */
static const BlStage *
stage_for (BlEditor *self, const char *id)
{
  const BlBoard *board = bl_edition_get_board (self->edition);
  const BlComponent *known = bl_board_component (board, id);
  const BlStage *under = NULL;

  if (known != NULL)
    return bl_board_stage (board, known->stage);
  if (!isnan (self->run->x))
    under = bl_find_stage_at (board, self->photo_id, self->run->x, self->run->y);
  return under != NULL || self->run->stage == NULL ? under : bl_board_stage (board, self->run->stage);
}

/* "resistor, in 12 V rail". */
static char *
component_words (BlEditor *self, const char *id)
{
  const BlBoard *board = bl_edition_get_board (self->edition);
  const BlComponent *known = bl_board_component (board, id);
  const BlStage *stage = stage_for (self, id);
  g_autofree char *guess = known == NULL ? bl_designator_guess_kind (board, id, "ic") : g_strdup (known->kind);
  g_autofree char *kind = bl_format_kind (guess);
  const char *title = stage != NULL ? title_or_id (stage->title, stage->id) : NULL;

  if (known != NULL)
    {
      title = title != NULL ? title : known->stage;
      return known->value != NULL && *known->value != '\0' ? g_strdup_printf (_ ("%s %s, of %s"), kind, known->value, title)
                                                           : g_strdup_printf (_ ("%s, of %s"), kind, title);
    }
  if (title == NULL)
    return g_strdup_printf (_ ("%s; press inside a stage, or choose one"), kind);
  return g_strdup_printf (_ ("%s, for stage %s"), kind, title);
}

static char *
point_words (BlEditor *self, const char *id)
{
  const BlTestPoint *known = bl_board_test_point (bl_edition_get_board (self->edition), id);

  return g_strdup (known != NULL ? title_or_id (known->title, _ ("waits for its place")) : _ ("a new test point"));
}

static void
show_pointer (BlEditor *self, const char *id)
{
  const BlStage *stage = element_of (self) == BL_ELEMENT_COMPONENT ? stage_for (self, id) : NULL;
  g_autofree char *words = NULL;

  if (element_of (self) == BL_ELEMENT_TEST_POINT)
    words = g_strdup (id);
  else if (stage != NULL)
    words = g_strdup_printf ("%s → %s", id, title_or_id (stage->title, stage->id));
  else
    words = g_strdup_printf (_ ("%s: no stage here"), id);
  bl_photo_view_set_pointer_name (BL_PHOTO_VIEW (self->photo), words);
}

static void
show (BlEditor *self)
{
  BlEditorPlacing *run = self->run;
  g_autofree char *id = in_hand (self);
  GtkWidget *focus = gtk_window_get_focus (GTK_WINDOW (gtk_widget_get_root (GTK_WIDGET (self))));
  gboolean writing = focus != NULL && gtk_widget_is_ancestor (focus, run->name);
  g_autofree char *words = NULL, *shown = NULL;

  if (id == NULL)
    return;
  words = element_of (self) == BL_ELEMENT_COMPONENT ? component_words (self, id) : point_words (self, id);
  if (run->waiting)
    {
      g_autoptr (GPtrArray) waiting = bl_placing_waiting (bl_edition_get_board (self->edition), element_of (self));
      shown = g_strdup_printf (ngettext ("%s · the last", "%s · %u wait", waiting->len), words, waiting->len);
    }
  run->filling = TRUE;
  if (!writing)
    gtk_editable_set_text (GTK_EDITABLE (run->name), id);
  run->filling = FALSE;
  gtk_widget_set_sensitive (run->name, !run->waiting);
  gtk_label_set_label (GTK_LABEL (run->what), shown != NULL ? shown : words);
  gtk_widget_set_tooltip_text (run->what, shown != NULL ? shown : words);
  gtk_widget_set_sensitive (run->back, run->steps->len > 0);
  show_pointer (self, id);
}

/* --- beginning and ending --- */

static void
set_bar (BlEditor *self, gboolean shown)
{
  gtk_widget_set_visible (self->segments, !shown);
  gtk_widget_set_visible (self->tools, !shown);
  gtk_widget_set_visible (self->run->bar, shown);
}

/* What the stage of a new component is, where no outline says it. */
static void
take_stage (BlEditor *self)
{
  const BlBoard *board = bl_edition_get_board (self->edition);
  const BlComponent *component = self->has_selected && self->selected.element == BL_ELEMENT_COMPONENT
                                   ? bl_board_component (board, self->selected.id) : NULL;
  const char *stage = self->has_selected && self->selected.element == BL_ELEMENT_STAGE ? self->selected.id
                      : component != NULL ? component->stage : NULL;

  if (stage == NULL)
    return;
  g_free (self->run->stage);
  self->run->stage = g_strdup (stage);
}

void
bl_editor_placing_end (BlEditor *self)
{
  BlEditorPlacing *run = self->run;

  if (!run->on)
    return;
  run->on = run->waiting = FALSE;
  g_clear_pointer (&run->from, g_free);
  g_clear_pointer (&run->stage, g_free);
  g_hash_table_remove_all (run->left_out);
  g_array_set_size (run->steps, 0);
  set_bar (self, FALSE);
  bl_photo_view_set_pointer_name (BL_PHOTO_VIEW (self->photo), NULL);
}

void
bl_editor_placing_begin (BlEditor *self, gboolean waiting)
{
  BlEditorPlacing *run = self->run;
  BlElement element = element_of (self);
  const BlBoard *board = bl_edition_get_board (self->edition);
  const char *last = self->has_selected && self->selected.element == element ? self->selected.id : NULL;
  g_autofree char *from = bl_placing_begin (board, element, last);

  bl_editor_set_tool (self, TRUE, BL_PHOTO_TOOL_NONE);
  run->on = TRUE;
  run->waiting = waiting;
  run->x = run->y = NAN;
  run->from = g_steal_pointer (&from);
  take_stage (self);
  set_bar (self, TRUE);
  g_autofree char *id = in_hand (self);
  if (id == NULL)
    {
      bl_editor_set_tool (self, FALSE, BL_PHOTO_TOOL_NONE);
      bl_widget_notify (GTK_WIDGET (self), element == BL_ELEMENT_COMPONENT ? _ ("Every component has its place.")
                                                                           : _ ("Every test point has its place."));
      return;
    }
  show (self);
}

gboolean
bl_editor_placing_is_on (BlEditor *self)
{
  return self->run->on;
}

void
bl_editor_placing_refresh (BlEditor *self)
{
  if (!self->run->on || self->edition == NULL)
    return;
  take_stage (self);
  g_autofree char *id = in_hand (self);
  if (id != NULL)
    show (self);
  else
    {
      bl_editor_set_tool (self, FALSE, BL_PHOTO_TOOL_NONE);
      bl_widget_notify (GTK_WIDGET (self), _ ("All that waited have their place."));
    }
}

/* --- pressing --- */

void
bl_editor_placing_press (BlEditor *self, double x, double y)
{
  BlEditorPlacing *run = self->run;
  BlElement element = element_of (self);
  g_autofree char *id = in_hand (self);
  GError *error = NULL;
  guint step;

  if (id == NULL)
    return;
  gboolean fresh = !bl_placing_waits (bl_edition_get_board (self->edition), element, id);
  if (!bl_edition_place_named (self->edition, element, id, run->stage, self->photo_id, x, y, &error))
    {
      bl_editor_report (self, error);
      return;
    }
  step = bl_edition_get_step (self->edition);
  if (run->on) /* not after the last of those that waited */
    g_array_append_val (run->steps, step);
  BlRef ref = bl_ref (element, id);
  bl_editor_select (self, &ref);
  bl_editor_placing_refresh (self);
  if (element != BL_ELEMENT_TEST_POINT || !fresh || !run->on)
    return;
  /* What is expected there is said at once; the next press need not wait for it. */
  gtk_widget_set_visible (self->entry, TRUE);
  bl_measurement_entry_set (BL_MEASUREMENT_ENTRY (self->entry), self->edition, id);
  bl_measurement_entry_focus (BL_MEASUREMENT_ENTRY (self->entry));
}

void
bl_editor_placing_pointed (BlEditor *self, double x, double y)
{
  if (!self->run->on || self->edition == NULL)
    return;
  const BlBoard *board = bl_edition_get_board (self->edition);
  const BlStage *before = isnan (self->run->x) ? NULL
                                               : bl_find_stage_at (board, self->photo_id, self->run->x, self->run->y);
  gboolean first = isnan (self->run->x);

  self->run->x = x;
  self->run->y = y;
  if (first || bl_find_stage_at (board, self->photo_id, x, y) != before)
    show (self);
}

static void
take_back (BlEditor *self)
{
  GArray *steps = self->run->steps;
  GError *error = NULL;

  if (steps->len == 0)
    return;
  if (g_array_index (steps, guint, steps->len - 1) != bl_edition_get_step (self->edition))
    {
      bl_widget_notify (GTK_WIDGET (self), _ ("Something else was changed since. Ctrl Z undoes that first."));
      return;
    }
  g_array_set_size (steps, steps->len - 1);
  if (!bl_edition_undo (self->edition, &error))
    bl_editor_report (self, error);
  bl_editor_placing_refresh (self);
}

/* Of those that wait, this one later. */
static void
leave_out (BlEditor *self)
{
  g_autofree char *id = in_hand (self);

  if (id != NULL)
    bl_designator_set_add (self->run->left_out, id);
  bl_editor_placing_refresh (self);
}

/* A letter over the photo begins a name; a figure does for a component, of a point it is what is read there. */
static gboolean
begin_name (BlEditor *self, guint keyval)
{
  gunichar letter = gdk_keyval_to_unicode (keyval);
  char text[8] = "";

  if (self->run->waiting || letter >= 0x80 || !g_ascii_isalnum ((char) letter)
      || (g_ascii_isdigit ((char) letter) && element_of (self) == BL_ELEMENT_TEST_POINT))
    return FALSE;
  gtk_widget_grab_focus (self->run->name);
  g_unichar_to_utf8 (g_unichar_toupper (letter), text);
  gtk_editable_set_text (GTK_EDITABLE (self->run->name), text);
  gtk_editable_set_position (GTK_EDITABLE (self->run->name), -1);
  return TRUE;
}

/* The name may be taken: then the next one is in hand, and the entry says so. */
static void
name_done (BlEditor *self)
{
  gtk_widget_grab_focus (self->photo);
  if (self->run->on && self->edition != NULL)
    show (self);
}

gboolean
bl_editor_placing_key (BlEditor *self, GtkWidget *focus, guint keyval, GdkModifierType state)
{
  if (self->run->on && keyval == GDK_KEY_Escape && focus != NULL && gtk_widget_is_ancestor (focus, self->run->name))
    {
      name_done (self);
      return TRUE;
    }
  if (!self->run->on || focus != self->photo || (state & (GDK_CONTROL_MASK | GDK_ALT_MASK)) != 0)
    return FALSE;
  if (keyval == GDK_KEY_BackSpace)
    {
      take_back (self);
      return TRUE;
    }
  if (keyval == GDK_KEY_Tab && self->run->waiting)
    {
      leave_out (self);
      return TRUE;
    }
  return begin_name (self, keyval);
}

/* --- the strip --- */

static void
name_typed (GtkEditable *entry, BlEditor *self)
{
  g_autofree char *text = g_strstrip (g_strdup (gtk_editable_get_text (entry)));

  if (self->run->filling || !self->run->on || self->edition == NULL || *text == '\0')
    return;
  g_free (self->run->from);
  self->run->from = g_steal_pointer (&text);
  show (self);
}

static void
done (BlEditor *self)
{
  bl_editor_set_tool (self, FALSE, BL_PHOTO_TOOL_NONE);
}

static GtkWidget *
make_act (BlEditor *self, const char *words, const char *cap, GCallback pressed)
{
  GtkWidget *button = bl_act_button ("act", words, cap, FALSE);

  gtk_widget_set_valign (button, GTK_ALIGN_CENTER);
  g_signal_connect_swapped (button, "clicked", pressed, self);
  return button;
}

GtkWidget *
bl_editor_placing_build (BlEditor *self)
{
  BlEditorPlacing *run = self->run = g_new0 (BlEditorPlacing, 1);

  run->left_out = bl_designator_set_new ();
  run->steps = g_array_new (FALSE, FALSE, sizeof (guint));
  run->bar = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8);
  gtk_widget_add_css_class (run->bar, "placing-bar");
  gtk_box_append (GTK_BOX (run->bar), bl_label (_ ("press places"), "strong", 0));
  run->name = gtk_entry_new ();
  gtk_editable_set_width_chars (GTK_EDITABLE (run->name), 6);
  gtk_editable_set_max_width_chars (GTK_EDITABLE (run->name), 6);
  gtk_widget_set_valign (run->name, GTK_ALIGN_CENTER);
  bl_widget_name (run->name, _ ("Name that the next press places"));
  g_signal_connect (run->name, "changed", G_CALLBACK (name_typed), self);
  g_signal_connect_swapped (run->name, "activate", G_CALLBACK (name_done), self);
  gtk_box_append (GTK_BOX (run->bar), run->name);
  run->what = bl_label ("", "muted", 0);
  gtk_label_set_ellipsize (GTK_LABEL (run->what), PANGO_ELLIPSIZE_END);
  gtk_widget_set_hexpand (run->what, TRUE);
  gtk_box_append (GTK_BOX (run->bar), run->what);
  run->back = make_act (self, _ ("take back"), "⌫", G_CALLBACK (take_back));
  gtk_box_append (GTK_BOX (run->bar), run->back);
  gtk_box_append (GTK_BOX (run->bar), make_act (self, _ ("done"), _ ("Esc"), G_CALLBACK (done)));
  gtk_widget_set_hexpand (run->bar, TRUE);
  gtk_widget_set_visible (run->bar, FALSE);
  return run->bar;
}

void
bl_editor_placing_free (BlEditor *self)
{
  g_free (self->run->from);
  g_free (self->run->stage);
  g_hash_table_unref (self->run->left_out);
  g_array_unref (self->run->steps);
  g_clear_pointer (&self->run, g_free);
}
