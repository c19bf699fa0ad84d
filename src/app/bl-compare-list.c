/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The list of what differs: a head for each group with its count, a row for each difference, a line for each field with
 * both values. Made anew after every change: some hundred rows for two boards that are alike, which takes some ten
 * milliseconds. What is taken over is one step of undo of the open edition. */
#include "config.h"

#include "bl-compare-private.h"

#include <glib/gi18n-lib.h>

#include "bl-shell.h"
#include "bl-style.h"

enum
{
  FIELDS_AT_ONCE = 5,  /* of a row that is not in hand */
  MEMBERS_AT_ONCE = 2, /* the same of what only one edition has */
  LONGEST = 160       /* of a value, characters; the tooltip has all of it */
};

gboolean
bl_compare_list_has (BlCompareView *self, const BlDifference *difference)
{
  GtkWidget *kind = self->kinds[bl_difference_mark_of (difference->kind)];

  return bl_comparison_shows (difference) && gtk_toggle_button_get_active (GTK_TOGGLE_BUTTON (kind))
         && bl_comparison_matches (difference, gtk_editable_get_text (GTK_EDITABLE (self->search)));
}

/* --- Taking over ------------------------------------------------------------------------------ */

static char *
said (BlCompareView *self, guint along)
{
  const char *label = bl_edition_get_undo_label (self->edition);

  if (along == 0)
    return g_strdup_printf (_ ("%s. Ctrl Z takes it back."), label);
  return g_strdup_printf (ngettext ("%s, with %u thing that goes with it. Ctrl Z takes it back.",
                                    "%s, with %u things that go with it. Ctrl Z takes it back.", along),
                          label, along);
}

void
bl_compare_take (BlCompareView *self, const BlDifference *difference, const BlDifferenceField *field)
{
  GError *error = NULL;
  guint along = 0;

  if (!bl_comparison_take (self->comparison, difference, field, &along, &error))
    {
      bl_widget_report (GTK_WIDGET (self), _ ("Nothing was changed"), error);
      return;
    }
  g_autofree char *words = said (self, along);
  bl_widget_notify (GTK_WIDGET (self), words);
}

static void
take_pressed (GtkButton *button, BlCompareView *self)
{
  const BlDifference *difference = bl_compare_find (self, g_object_get_data (G_OBJECT (button), "key"));
  const char *path = g_object_get_data (G_OBJECT (button), "path");

  if (difference == NULL)
    return;
  if (path == NULL)
    {
      bl_compare_take (self, difference, NULL);
      return;
    }
  for (guint i = 0; i < difference->fields->len; i++)
    {
      const BlDifferenceField *field = bl_at (difference->fields, i);
      if (g_str_equal (field->path, path))
        {
          bl_compare_take (self, difference, field);
          return;
        }
    }
}

static GtkWidget *
take_button (BlCompareView *self, const char *words, const char *name, const char *key, const char *path)
{
  GtkWidget *button = gtk_button_new_with_label (words);

  gtk_widget_add_css_class (button, "act");
  gtk_widget_set_valign (button, GTK_ALIGN_START);
  gtk_widget_set_halign (button, GTK_ALIGN_END);
  bl_widget_name (button, name);
  g_object_set_data_full (G_OBJECT (button), "key", g_strdup (key), g_free);
  g_object_set_data_full (G_OBJECT (button), "path", g_strdup (path), g_free);
  g_signal_connect (button, "clicked", G_CALLBACK (take_pressed), self);
  return button;
}

/* --- Rows ------------------------------------------------------------------------------------- */

static GtkWidget *
value_label (const char *value, const char *css)
{
  g_autofree char *shown = NULL;
  GtkWidget *label;

  if (value == NULL)
    return bl_label ("–", "muted", 0);
  if (g_utf8_strlen (value, -1) > LONGEST)
    {
      g_autofree char *head = g_utf8_substring (value, 0, LONGEST);
      shown = g_strconcat (head, "…", NULL);
    }
  label = bl_label (shown != NULL ? shown : value, css, 0);
  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  gtk_label_set_wrap_mode (GTK_LABEL (label), PANGO_WRAP_WORD_CHAR);
  gtk_label_set_width_chars (GTK_LABEL (label), 12);
  gtk_label_set_max_width_chars (GTK_LABEL (label), 12);
  gtk_widget_set_hexpand (label, TRUE);
  gtk_widget_set_valign (label, GTK_ALIGN_START);
  if (shown != NULL)
    gtk_widget_set_tooltip_text (label, value);
  return label;
}

static GtkWidget *
words_label (const char *words)
{
  GtkWidget *label = bl_label (words, "muted", 0);

  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  gtk_label_set_wrap_mode (GTK_LABEL (label), PANGO_WRAP_WORD_CHAR);
  gtk_label_set_width_chars (GTK_LABEL (label), 16);
  gtk_label_set_max_width_chars (GTK_LABEL (label), 16);
  gtk_widget_set_size_request (label, BL_COMPARE_WORDS_WIDTH, -1);
  gtk_widget_set_valign (label, GTK_ALIGN_START);
  return label;
}

static void
field_line (BlCompareView *self, GtkWidget *box, const BlDifference *difference, const BlDifferenceField *field,
            const char *key, gboolean single)
{
  GtkWidget *line = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8), *values = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8);

  gtk_box_append (GTK_BOX (line), words_label (field->words));
  gtk_box_set_homogeneous (GTK_BOX (values), TRUE);
  gtk_widget_set_hexpand (values, TRUE);
  gtk_box_append (GTK_BOX (values), value_label (difference->kind == BL_DIFFERENCE_ADDED ? "" : field->mine, NULL));
  gtk_box_append (GTK_BOX (values), value_label (difference->kind == BL_DIFFERENCE_REMOVED ? "" : field->theirs, NULL));
  gtk_box_append (GTK_BOX (line), values);
  if (single)
    {
      g_autofree char *name = g_strdup_printf (_ ("Take over %s of %s"), field->words, difference->id);
      GtkWidget *button = take_button (self, _ ("take"), name, key, field->path);
      gtk_widget_set_visible (button, FALSE);
      gtk_widget_add_css_class (button, "in-hand");
      gtk_box_append (GTK_BOX (line), button);
    }
  gtk_box_append (GTK_BOX (box), line);
}

static char *
take_words (BlCompareView *self, const BlDifference *difference)
{
  const char *other = bl_compare_other_mark (self);

  if (difference->kind == BL_DIFFERENCE_ADDED)
    return g_strdup_printf (_ ("bring from %s"), other);
  if (difference->kind == BL_DIFFERENCE_REMOVED)
    return g_strdup_printf (_ ("remove, as in %s"), other);
  return g_strdup_printf (_ ("as in %s"), other);
}

static GtkWidget *
row_head (BlCompareView *self, const BlDifference *difference, const char *key)
{
  GtkWidget *head = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8), *label;
  g_autofree char *id = difference->list[0] == '\0' ? g_strdelimit (g_strdup (difference->id), "_", ' ')
                        : difference->old_id != NULL
                          ? g_strdup_printf (_ ("%s (%s in %s)"), difference->old_id, difference->id,
                                             bl_compare_other_mark (self))
                          : g_strdup (difference->id);
  g_autofree char *take = take_words (self, difference);
  g_autofree char *name = g_strdup_printf ("%s: %s", take, id);

  gtk_box_append (GTK_BOX (head), bl_difference_icon_new (bl_difference_mark_of (difference->kind)));
  label = bl_label (bl_comparison_kind_words (difference->kind), NULL, 0);
  gtk_label_set_width_chars (GTK_LABEL (label), 8);
  gtk_box_append (GTK_BOX (head), label);
  gtk_box_append (GTK_BOX (head), bl_label (id, "strong", 0));
  label = bl_label (difference->title != NULL ? difference->title : "", NULL, 0);
  gtk_label_set_ellipsize (GTK_LABEL (label), PANGO_ELLIPSIZE_END);
  gtk_widget_set_hexpand (label, TRUE);
  gtk_box_append (GTK_BOX (head), label);
  gtk_box_append (GTK_BOX (head), take_button (self, take, name, key, NULL));
  return head;
}

/* Title and symptom of what only one edition has stand in its head already. */
static gboolean
is_said (const BlDifference *difference, const BlDifferenceField *field)
{
  return (difference->kind == BL_DIFFERENCE_ADDED || difference->kind == BL_DIFFERENCE_REMOVED)
         && (g_str_equal (field->path, "title") || g_str_equal (field->path, "symptom"));
}

/* What differs, field by field; of what only one edition has a few, and all of them while it is in hand. */
static void
row_fields (BlCompareView *self, GtkWidget *box, const BlDifference *difference, const char *key)
{
  gboolean both = difference->kind == BL_DIFFERENCE_CHANGED || difference->kind == BL_DIFFERENCE_RENAMED;
  guint at_once = both ? FIELDS_AT_ONCE : MEMBERS_AT_ONCE, shown = 0;

  for (guint i = 0; i < difference->fields->len; i++)
    {
      const BlDifferenceField *field = bl_at (difference->fields, i);
      if (is_said (difference, field))
        continue;
      field_line (self, box, difference, field, key, both && difference->fields->len > 1);
      if (++shown > at_once)
        {
          gtk_widget_set_visible (gtk_widget_get_last_child (box), FALSE);
          gtk_widget_add_css_class (gtk_widget_get_last_child (box), "in-hand");
        }
    }
  if (shown > at_once)
    {
      g_autofree char *words = g_strdup_printf (ngettext ("and %u more", "and %u more", shown - at_once), shown - at_once);
      gtk_box_append (GTK_BOX (box), bl_label (words, "muted small out-of-hand", 0));
    }
}

/* Shows what a row has only while it is in hand. */
static void
set_in_hand (GtkWidget *widget, gboolean in_hand)
{
  if (gtk_widget_has_css_class (widget, "in-hand"))
    gtk_widget_set_visible (widget, in_hand);
  if (gtk_widget_has_css_class (widget, "out-of-hand"))
    gtk_widget_set_visible (widget, !in_hand);
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child != NULL;
       child = gtk_widget_get_next_sibling (child))
    set_in_hand (child, in_hand);
}

static GtkWidget *
row_of (BlCompareView *self, const BlDifference *difference)
{
  GtkWidget *row = gtk_list_box_row_new (), *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 1);
  g_autofree char *key = bl_compare_key_of (difference);
  g_autofree char *name = g_strdup_printf ("%s %s, %s", difference->id, difference->title != NULL ? difference->title : "",
                                           bl_comparison_kind_words (difference->kind));

  gtk_box_append (GTK_BOX (box), row_head (self, difference, key));
  row_fields (self, box, difference, key);
  gtk_list_box_row_set_child (GTK_LIST_BOX_ROW (row), box);
  bl_widget_name (row, name);
  g_object_set_data_full (G_OBJECT (row), "key", g_steal_pointer (&key), g_free);
  return row;
}

/* "3: 1 added, 2 changed" */
static char *
counts_of (BlCompareView *self, BlComparesGroup group)
{
  const GPtrArray *differences = bl_comparison_get_differences (self->comparison);
  guint counts[BL_N_MARKS] = { 0 };
  g_autoptr (GString) words = g_string_new (NULL);

  for (guint i = 0; i < bl_len (differences); i++)
    {
      const BlDifference *difference = bl_at (differences, i);
      if (bl_comparison_group (difference) == group && bl_compare_list_has (self, difference))
        counts[bl_difference_mark_of (difference->kind)]++;
    }
  for (guint m = 0; m < BL_N_MARKS; m++)
    if (counts[m] > 0)
      g_string_append_printf (words, "%s%u %s", words->len > 0 ? " · " : "", counts[m],
                              bl_comparison_kind_words (bl_difference_mark_kind (m)));
  return g_string_free (g_steal_pointer (&words), FALSE);
}

static GtkWidget *
group_row (BlCompareView *self, BlComparesGroup group)
{
  GtkWidget *row = gtk_list_box_row_new (), *box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 12);
  g_autofree char *counts = counts_of (self, group);

  gtk_box_append (GTK_BOX (box), bl_label (bl_comparison_group_words (group), "heading", 0));
  gtk_box_append (GTK_BOX (box), bl_label (counts, "muted", 0));
  gtk_list_box_row_set_child (GTK_LIST_BOX_ROW (row), box);
  gtk_list_box_row_set_selectable (GTK_LIST_BOX_ROW (row), FALSE);
  gtk_list_box_row_set_activatable (GTK_LIST_BOX_ROW (row), FALSE);
  gtk_widget_set_focusable (row, FALSE);
  gtk_widget_add_css_class (row, "group-head");
  return row;
}

static void
fill_group (BlCompareView *self, BlComparesGroup group)
{
  const GPtrArray *differences = bl_comparison_get_differences (self->comparison);
  gboolean first = TRUE;

  for (guint i = 0; i < bl_len (differences); i++)
    {
      const BlDifference *difference = bl_at (differences, i);
      if (bl_comparison_group (difference) != group || !bl_compare_list_has (self, difference))
        continue;
      if (first)
        gtk_list_box_append (GTK_LIST_BOX (self->list), group_row (self, group));
      first = FALSE;
      gtk_list_box_append (GTK_LIST_BOX (self->list), row_of (self, difference));
    }
}

/* --- The whole of it -------------------------------------------------------------------------- */

static void
show_kinds (BlCompareView *self)
{
  const GPtrArray *differences = self->comparison != NULL ? bl_comparison_get_differences (self->comparison) : NULL;
  guint counts[BL_N_MARKS] = { 0 };

  for (guint i = 0; i < bl_len (differences); i++)
    if (bl_comparison_shows (bl_at (differences, i)))
      counts[bl_difference_mark_of (((BlDifference *) bl_at (differences, i))->kind)]++;
  for (guint m = 0; m < BL_N_MARKS; m++)
    {
      g_autofree char *words = g_strdup_printf ("%s %u", bl_comparison_kind_words (bl_difference_mark_kind (m)), counts[m]);
      gtk_label_set_label (GTK_LABEL (g_object_get_data (G_OBJECT (self->kinds[m]), "label")), words);
      bl_widget_name (self->kinds[m], words);
      gtk_widget_set_visible (self->kinds[m], counts[m] > 0);
    }
}

/* What the list does not show, or why it is empty. */
static void
show_remark (BlCompareView *self)
{
  g_autofree char *words = NULL;
  guint all = 0;
  const GPtrArray *differences = self->comparison != NULL ? bl_comparison_get_differences (self->comparison) : NULL;

  for (guint i = 0; i < bl_len (differences); i++)
    all += bl_comparison_shows (bl_at (differences, i));
  if (self->comparison == NULL)
    words = g_strdup (_ ("Choose above which edition this one is to be compared with."));
  else if (*bl_comparison_get_other_pictures (self->comparison) != '\0')
    words = g_strdup_printf (_ ("Other pictures in the two editions: %s. Places on them are not compared and not taken "
                                "over."),
                             bl_comparison_get_other_pictures (self->comparison));
  else if (all == 0)
    words = g_strdup (_ ("The two editions say the same, point for point."));
  gtk_label_set_label (GTK_LABEL (self->remark), words != NULL ? words : "");
  gtk_widget_set_visible (self->remark, words != NULL);
}

/* Where what was in hand has gone, the row that stands in its place is. */
static void
take_row_at (BlCompareView *self, int index)
{
  GtkListBoxRow *row = gtk_list_box_get_row_at_index (GTK_LIST_BOX (self->list), index);

  if (row != NULL && g_object_get_data (G_OBJECT (row), "key") == NULL)
    row = gtk_list_box_get_row_at_index (GTK_LIST_BOX (self->list), index + 1);
  for (int i = index; row == NULL && i > 0; i--)
    {
      row = gtk_list_box_get_row_at_index (GTK_LIST_BOX (self->list), i - 1);
      if (row != NULL && g_object_get_data (G_OBJECT (row), "key") == NULL)
        row = NULL;
    }
  g_clear_pointer (&self->selected, g_free);
  if (row != NULL)
    bl_compare_select (self, g_object_get_data (G_OBJECT (row), "key"));
}

void
bl_compare_list_fill (BlCompareView *self)
{
  GtkAdjustment *adjustment = gtk_scrolled_window_get_vadjustment (GTK_SCROLLED_WINDOW (self->list_scroll));
  double at = gtk_adjustment_get_value (adjustment);
  GtkListBoxRow *before = gtk_list_box_get_selected_row (GTK_LIST_BOX (self->list));
  int index = before != NULL ? gtk_list_box_row_get_index (before) : -1;
  GtkRoot *root = gtk_widget_get_root (GTK_WIDGET (self));
  gboolean focused = root != NULL && !GTK_IS_TEXT (gtk_root_get_focus (root));

  self->filling = TRUE;
  bl_widget_clear (self->list);
  show_kinds (self);
  show_remark (self);
  for (guint g = 0; self->comparison != NULL && g < BL_N_COMPARES; g++)
    fill_group (self, g);
  self->filling = FALSE;
  gtk_widget_set_sensitive (self->copy_text, self->comparison != NULL);
  if (self->selected != NULL && !bl_compare_list_select (self->list, self->selected, focused) && index >= 0 && focused)
    take_row_at (self, index);
  gtk_adjustment_set_value (adjustment, at);
}

gboolean
bl_compare_list_select (GtkWidget *list, const char *key, gboolean focus)
{
  GtkListBoxRow *found = NULL;

  for (GtkWidget *row = gtk_widget_get_first_child (list); row != NULL; row = gtk_widget_get_next_sibling (row))
    {
      gboolean is = g_strcmp0 (g_object_get_data (G_OBJECT (row), "key"), key) == 0;
      set_in_hand (row, is);
      if (is)
        found = GTK_LIST_BOX_ROW (row);
    }
  gtk_list_box_select_row (GTK_LIST_BOX (list), found);
  if (found != NULL && focus)
    gtk_widget_grab_focus (GTK_WIDGET (found));
  return found != NULL;
}
