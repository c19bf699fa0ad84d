/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The page that asks what to do with a file of which the library has something already. On the left what is in the
 * file, when that is more than one board; on the right the one selected: merge, keep both or leave it, and below what
 * the two say differently, side by side. Nothing is written before the button. The rows are bl-import-list.c's. */
#include "config.h"

#include "bl-import-page.h"

#include <adwaita.h>
#include <glib/gi18n-lib.h>

#include "bl-import-list.h"
#include "bl-import-row.h"
#include "bl-import-words.h"
#include "bl-shell.h"
#include "bl-style.h"

enum
{
  N_CHOICES = 3
};
static const BlIntakeChoice choice_of[N_CHOICES] = { BL_INTAKE_MERGE, BL_INTAKE_KEEP_BOTH, BL_INTAKE_LEAVE };

struct _BlImportPage
{
  GtkWidget parent_instance;

  BlIntake *intake; /* NULL: nothing is shown */
  guint at;         /* of its boards; as many as there are: the equipment */
  GtkWidget *file, *items, *items_scroll, *name, *found, *choices[N_CHOICES], *choice_box, *hint, *second;
  GtkWidget *acts, *count, *columns, *list, *list_scroll, *go;
  gboolean filling;
};

enum
{
  CLOSED,
  N_SIGNALS
};
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (BlImportPage, bl_import_page, GTK_TYPE_WIDGET)

/* NULL: the equipment is selected. */
static BlIntakeBoard *
board_at (BlImportPage *self)
{
  return self->at < self->intake->boards->len ? bl_at (self->intake->boards, self->at) : NULL;
}

static BlIntakeFinding
finding_at (BlImportPage *self)
{
  const BlIntakeBoard *board = board_at (self);
  return board != NULL ? board->finding : self->intake->finding;
}

static BlIntakeChoice *
choice_at (BlImportPage *self)
{
  BlIntakeBoard *board = board_at (self);
  return board != NULL ? &board->choice : &self->intake->choice;
}

/* --- what is in the file --- */

static void
add_item (BlImportPage *self, const char *name, BlIntakeFinding finding, BlIntakeChoice choice)
{
  GtkWidget *row = gtk_list_box_row_new (), *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 2);
  const char *words = bl_import_outcome_words (finding, choice);
  g_autofree char *full = g_strdup_printf ("%s, %s", name, words);
  GtkWidget *label = bl_label (name, "strong", 0);

  gtk_label_set_ellipsize (GTK_LABEL (label), PANGO_ELLIPSIZE_END);
  gtk_widget_set_tooltip_text (label, name);
  gtk_box_append (GTK_BOX (box), label);
  gtk_box_append (GTK_BOX (box), bl_label (words, finding == BL_INTAKE_DIFFERENT ? "small" : "muted small", 0));
  gtk_list_box_row_set_child (GTK_LIST_BOX_ROW (row), box);
  bl_widget_name (row, full);
  gtk_list_box_append (GTK_LIST_BOX (self->items), row);
}

static void
fill_items (BlImportPage *self)
{
  const BlEquipment *equipment = self->intake->delivery->equipment;

  self->filling = TRUE;
  bl_widget_clear (self->items);
  for (guint i = 0; i < self->intake->boards->len; i++)
    {
      const BlIntakeBoard *board = bl_at (self->intake->boards, i);
      g_autofree char *name = bl_intake_board_name (board);
      add_item (self, name, board->finding, board->choice);
    }
  if (equipment != NULL)
    add_item (self, equipment->title != NULL ? equipment->title : _ ("Equipment"), self->intake->finding,
              self->intake->choice);
  gtk_list_box_select_row (GTK_LIST_BOX (self->items),
                           gtk_list_box_get_row_at_index (GTK_LIST_BOX (self->items), (int) self->at));
  gtk_widget_set_visible (self->items_scroll, equipment != NULL);
  self->filling = FALSE;
}

/* --- the one selected --- */

/* How many of all are taken, in words on the button. */
static void
show_count (BlImportPage *self)
{
  const BlIntakeBoard *board = board_at (self);
  guint all = 0, taken = board != NULL ? bl_intake_count (board, &all) : 0;
  g_autofree char *count = g_strdup_printf (_ ("%u of %u from the file"), taken, all);
  gboolean alone = self->intake->delivery->equipment == NULL;
  BlIntakeChoice choice = *choice_at (self);
  g_autofree char *merge = g_strdup_printf (ngettext ("Merge %u difference", "Merge %u differences", taken), taken);

  gtk_label_set_label (GTK_LABEL (self->count), count);
  gtk_button_set_label (GTK_BUTTON (self->go), !alone                          ? _ ("Import")
                                               : choice == BL_INTAKE_MERGE     ? merge
                                               : choice == BL_INTAKE_KEEP_BOTH ? _ ("Keep both")
                                                                               : _ ("Leave it"));
}

static void
show_choice (BlImportPage *self)
{
  const BlIntakeBoard *board = board_at (self);
  BlIntakeChoice choice = *choice_at (self);
  gboolean asks = finding_at (self) == BL_INTAKE_DIFFERENT, merges = asks && choice == BL_INTAKE_MERGE && board != NULL;

  self->filling = TRUE;
  gtk_widget_set_visible (self->choice_box, asks);
  for (guint i = 0; i < N_CHOICES; i++)
    gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (self->choices[i]), choice == choice_of[i]);
  gtk_label_set_label (GTK_LABEL (self->hint), bl_import_choice_words (choice, board != NULL));
  gtk_widget_set_visible (self->second, asks && choice == BL_INTAKE_KEEP_BOTH);
  gtk_editable_set_text (GTK_EDITABLE (self->second), board != NULL         ? board->edition != NULL ? board->edition : ""
                                                      : self->intake->title ? self->intake->title
                                                                            : "");
  gtk_widget_set_visible (self->acts, merges);
  gtk_widget_set_visible (self->columns, asks && board != NULL);
  gtk_widget_set_visible (self->list_scroll, asks && board != NULL);
  gtk_widget_set_sensitive (self->list, merges); /* otherwise only to be read */
  self->filling = FALSE;
  show_count (self);
}

static void
show_item (BlImportPage *self)
{
  BlIntakeBoard *board = board_at (self);
  const BlEquipment *equipment = self->intake->delivery->equipment;
  g_autofree char *found = bl_import_found_words (self->intake, board), *name = board != NULL ? bl_intake_board_name (board) : NULL;

  gtk_label_set_label (GTK_LABEL (self->name),
                       name != NULL ? name : equipment->title != NULL ? equipment->title : _ ("Equipment"));
  gtk_label_set_label (GTK_LABEL (self->found), found);
  bl_import_list_fill (GTK_LIST_BOX (self->list), board);
  show_choice (self);
}

static void
item_selected (GtkListBox *items, GtkListBoxRow *row, BlImportPage *self)
{
  if (self->filling || row == NULL || self->intake == NULL)
    return;
  self->at = (guint) gtk_list_box_row_get_index (row);
  show_item (self);
}

/* --- choosing --- */

static void
choose (BlImportPage *self, guint i)
{
  if (finding_at (self) != BL_INTAKE_DIFFERENT)
    return;
  *choice_at (self) = choice_of[i];
  show_choice (self);
  if (gtk_widget_get_visible (self->items_scroll))
    fill_items (self);
  if (choice_of[i] == BL_INTAKE_KEEP_BOTH)
    gtk_widget_grab_focus (self->second);
}

static void
choice_toggled (GtkToggleButton *button, BlImportPage *self)
{
  if (self->filling || self->intake == NULL)
    return;
  for (guint i = 0; i < N_CHOICES; i++)
    if (GTK_WIDGET (button) == self->choices[i] && gtk_toggle_button_get_active (button))
      choose (self, i);
}

static void
second_changed (BlImportPage *self)
{
  BlIntakeBoard *board = self->intake != NULL ? board_at (self) : NULL;
  char **at = board != NULL ? &board->edition : self->intake != NULL ? &self->intake->title : NULL;

  if (self->filling || at == NULL)
    return;
  g_free (*at);
  *at = g_strdup (gtk_editable_get_text (GTK_EDITABLE (self->second)));
}

static void
row_chosen (BlImportPage *self)
{
  bl_import_list_show (GTK_LIST_BOX (self->list));
  show_count (self);
}

static void
take (BlImportPage *self, gboolean mine)
{
  BlIntakeBoard *board = board_at (self);

  if (board == NULL || board->differences == NULL)
    return;
  bl_intake_take (board, mine);
  row_chosen (self);
}

static void
take_missing (BlImportPage *self)
{
  take (self, TRUE);
}

static void
take_theirs (BlImportPage *self)
{
  take (self, FALSE);
}

static void
take_nothing (BlImportPage *self)
{
  BlIntakeBoard *board = board_at (self);

  if (board == NULL || board->differences == NULL)
    return;
  bl_intake_take_nothing (board);
  row_chosen (self);
}

/* --- the end --- */

static void
finish (BlImportPage *self, const char *words, gint64 board)
{
  g_autofree char *kept = g_strdup (words);

  bl_widget_clear (self->list);
  g_clear_pointer (&self->intake, bl_intake_free);
  g_signal_emit (self, signals[CLOSED], 0, kept, board);
}

static void
leave (BlImportPage *self)
{
  if (self->intake != NULL)
    finish (self, NULL, 0);
}

static void
go (BlImportPage *self)
{
  GError *error = NULL;
  gint64 merged = 0;

  if (self->intake == NULL)
    return;
  if (!bl_intake_run (self->intake, &error))
    {
      bl_widget_report (GTK_WIDGET (self), _ ("Nothing was imported"), error);
      return;
    }
  g_autofree char *words = bl_import_done_words (self->intake, &merged);
  for (guint i = 0; i < self->intake->boards->len; i++)
    if (bl_shell_of (GTK_WIDGET (self)) != NULL)
      bl_shell_board_changed (bl_shell_of (GTK_WIDGET (self)),
                               ((BlIntakeBoard *) bl_at (self->intake->boards, i))->result);
  finish (self, words, merged);
}

gboolean
bl_import_page_key (BlImportPage *self, guint keyval, GdkModifierType state)
{
  g_return_val_if_fail (BL_IS_IMPORT_PAGE (self), FALSE);
  GtkRoot *root = gtk_widget_get_root (GTK_WIDGET (self));
  GtkWidget *focus = root != NULL ? gtk_root_get_focus (root) : NULL;
  gboolean control = (state & GDK_CONTROL_MASK) != 0, alt = (state & GDK_ALT_MASK) != 0;

  if (keyval == GDK_KEY_Escape)
    leave (self);
  else if (control && (keyval == GDK_KEY_Return || keyval == GDK_KEY_KP_Enter))
    go (self);
  else if (alt && keyval >= GDK_KEY_1 && keyval <= GDK_KEY_3)
    choose (self, keyval - GDK_KEY_1);
  else if (!control && !alt && BL_IS_IMPORT_ROW (focus))
    return bl_import_row_key (BL_IMPORT_ROW (focus), keyval);
  else
    return FALSE;
  return TRUE;
}

void
bl_import_page_show (BlImportPage *self, BlIntake *intake, const char *file)
{
  g_return_if_fail (BL_IS_IMPORT_PAGE (self) && intake != NULL);
  GtkListBoxRow *first;

  g_clear_pointer (&self->intake, bl_intake_free);
  self->intake = intake;
  self->at = 0;
  while (self->at < intake->boards->len && finding_at (self) != BL_INTAKE_DIFFERENT)
    self->at++;
  if (self->at == intake->boards->len && intake->delivery->equipment == NULL)
    self->at = 0;
  gtk_label_set_label (GTK_LABEL (self->file), file);
  fill_items (self);
  show_item (self);
  first = gtk_list_box_get_row_at_index (GTK_LIST_BOX (self->list), 1); /* below the first heading */
  gtk_widget_grab_focus (first != NULL ? GTK_WIDGET (first) : self->go);
}

/* --- making --- */

static GtkWidget *
act_new (BlImportPage *self, const char *words, const char *css, GCallback pressed)
{
  GtkWidget *button = gtk_button_new_with_label (words);

  gtk_widget_add_css_class (button, css);
  g_signal_connect_swapped (button, "clicked", pressed, self);
  return button;
}

static GtkWidget *
ellipsized (const char *css)
{
  GtkWidget *label = bl_label ("", css, 0);

  gtk_label_set_ellipsize (GTK_LABEL (label), PANGO_ELLIPSIZE_END);
  return label;
}

static GtkWidget *
head_new (BlImportPage *self)
{
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 12);

  gtk_box_append (GTK_BOX (box), bl_label (_ ("Import"), "page-title", 0));
  self->file = ellipsized ("muted");
  gtk_widget_set_hexpand (self->file, TRUE);
  gtk_box_append (GTK_BOX (box), self->file);
  gtk_box_append (GTK_BOX (box), act_new (self, _ ("Import nothing"), "plain", G_CALLBACK (leave)));
  self->go = act_new (self, _ ("Import"), "firm", G_CALLBACK (go));
  gtk_box_append (GTK_BOX (box), self->go);
  return box;
}

static GtkWidget *
items_new (BlImportPage *self)
{
  self->items = gtk_list_box_new ();
  self->items_scroll = gtk_scrolled_window_new ();
  gtk_widget_add_css_class (self->items, "big-list");
  bl_widget_name (self->items, _ ("What is in the file"));
  g_signal_connect (self->items, "row-selected", G_CALLBACK (item_selected), self);
  gtk_scrolled_window_set_policy (GTK_SCROLLED_WINDOW (self->items_scroll), GTK_POLICY_NEVER, GTK_POLICY_AUTOMATIC);
  gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (self->items_scroll), self->items);
  gtk_widget_set_size_request (self->items_scroll, 260, -1);
  return self->items_scroll;
}

static GtkWidget *
choices_new (BlImportPage *self)
{
  static const char *const words[N_CHOICES] = { N_ ("Merge"), N_ ("Keep both"), N_ ("Leave it") };
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 0);

  for (guint i = 0; i < N_CHOICES; i++)
    {
      GtkWidget *button = gtk_toggle_button_new_with_label (_ (words[i]));
      g_autofree char *key = g_strdup_printf (_ ("Alt %u"), i + 1);
      gtk_widget_add_css_class (button, "segment");
      gtk_widget_set_tooltip_text (button, key);
      if (i > 0)
        gtk_toggle_button_set_group (GTK_TOGGLE_BUTTON (button), GTK_TOGGLE_BUTTON (self->choices[0]));
      self->choices[i] = button;
      g_signal_connect (button, "toggled", G_CALLBACK (choice_toggled), self);
      gtk_box_append (GTK_BOX (box), button);
    }
  self->hint = bl_label ("", "small", 0);
  gtk_label_set_ellipsize (GTK_LABEL (self->hint), PANGO_ELLIPSIZE_END);
  gtk_widget_set_margin_start (self->hint, 12);
  gtk_box_append (GTK_BOX (box), self->hint);
  self->second = gtk_entry_new ();
  gtk_editable_set_width_chars (GTK_EDITABLE (self->second), 16);
  gtk_widget_set_margin_start (self->second, 8);
  bl_widget_name (self->second, _ ("What the second one is called"));
  g_signal_connect_swapped (self->second, "changed", G_CALLBACK (second_changed), self);
  gtk_box_append (GTK_BOX (box), self->second);
  self->choice_box = box;
  return box;
}

static GtkWidget *
acts_new (BlImportPage *self)
{
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 12);

  gtk_box_append (GTK_BOX (box), act_new (self, _ ("what is not here"), "act", G_CALLBACK (take_missing)));
  gtk_box_append (GTK_BOX (box), act_new (self, _ ("everything the file has"), "act", G_CALLBACK (take_theirs)));
  gtk_box_append (GTK_BOX (box), act_new (self, _ ("nothing"), "act", G_CALLBACK (take_nothing)));
  self->count = bl_label ("", "muted", 1);
  gtk_widget_set_hexpand (self->count, TRUE);
  gtk_box_append (GTK_BOX (box), self->count);
  gtk_box_prepend (GTK_BOX (box), bl_label (_ ("Take"), "heading", 0));
  self->acts = box;
  return box;
}

/* The heads of the two sides, as wide as the sides of a row are. */
static GtkWidget *
columns_new (BlImportPage *self)
{
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8), *sides = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8);
  GtkWidget *empty = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 0), *label;

  gtk_widget_set_size_request (empty, 200, -1);
  gtk_box_append (GTK_BOX (box), empty);
  gtk_box_set_homogeneous (GTK_BOX (sides), TRUE);
  gtk_widget_set_hexpand (sides, TRUE);
  label = bl_label (_ ("in the library"), "heading", 0);
  gtk_widget_set_hexpand (label, TRUE);
  gtk_box_append (GTK_BOX (sides), label);
  label = bl_label (_ ("in the file"), "heading", 0);
  gtk_widget_set_hexpand (label, TRUE);
  gtk_box_append (GTK_BOX (sides), label);
  gtk_box_append (GTK_BOX (box), sides);
  self->columns = box;
  return box;
}

static GtkWidget *
list_new (BlImportPage *self)
{
  self->list = gtk_list_box_new ();
  self->list_scroll = gtk_scrolled_window_new ();
  gtk_list_box_set_selection_mode (GTK_LIST_BOX (self->list), GTK_SELECTION_NONE);
  gtk_widget_add_css_class (self->list, "import-list");
  bl_widget_name (self->list, _ ("Differences"));
  bl_import_list_watch (GTK_LIST_BOX (self->list), G_CALLBACK (row_chosen), self);
  gtk_scrolled_window_set_policy (GTK_SCROLLED_WINDOW (self->list_scroll), GTK_POLICY_NEVER, GTK_POLICY_AUTOMATIC);
  gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (self->list_scroll), self->list);
  gtk_widget_set_vexpand (self->list_scroll, TRUE);
  return self->list_scroll;
}

static GtkWidget *
keys_new (void)
{
  static const char *const keys[][2] = { { N_ ("Up Down"), N_ ("difference") },
                                         { N_ ("Left Right"), N_ ("side") },
                                         { N_ ("Alt 1"), N_ ("merge") },
                                         { N_ ("Alt 2"), N_ ("keep both") },
                                         { N_ ("Alt 3"), N_ ("leave it") },
                                         { N_ ("Ctrl Enter"), N_ ("import") },
                                         { N_ ("Esc"), N_ ("import nothing") } };
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 6);

  for (guint i = 0; i < G_N_ELEMENTS (keys); i++)
    {
      GtkWidget *words = bl_label (_ (keys[i][1]), NULL, 0);
      gtk_box_append (GTK_BOX (box), bl_key_cap (_ (keys[i][0])));
      gtk_widget_set_margin_end (words, 8);
      gtk_box_append (GTK_BOX (box), words);
    }
  gtk_widget_add_css_class (box, "key-strip");
  return box;
}

static GtkWidget *
right_new (BlImportPage *self)
{
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 8), *line = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 12);

  self->name = bl_label ("", "title-line strong", 0);
  self->found = ellipsized ("muted");
  gtk_box_append (GTK_BOX (line), self->name);
  gtk_box_append (GTK_BOX (line), self->found);
  gtk_box_append (GTK_BOX (box), line);
  gtk_box_append (GTK_BOX (box), choices_new (self));
  gtk_box_append (GTK_BOX (box), acts_new (self));
  gtk_box_append (GTK_BOX (box), columns_new (self));
  gtk_box_append (GTK_BOX (box), list_new (self));
  gtk_widget_set_hexpand (box, TRUE);
  return box;
}

/* --- object --- */

static void
bl_import_page_dispose (GObject *object)
{
  BlImportPage *self = BL_IMPORT_PAGE (object);
  GtkWidget *child;

  g_clear_pointer (&self->intake, bl_intake_free);
  while ((child = gtk_widget_get_first_child (GTK_WIDGET (self))) != NULL)
    gtk_widget_unparent (child);
  G_OBJECT_CLASS (bl_import_page_parent_class)->dispose (object);
}

static void
bl_import_page_class_init (BlImportPageClass *klass)
{
  G_OBJECT_CLASS (klass)->dispose = bl_import_page_dispose;
  gtk_widget_class_set_layout_manager_type (GTK_WIDGET_CLASS (klass), GTK_TYPE_BIN_LAYOUT);
  signals[CLOSED] = g_signal_new ("closed", BL_TYPE_IMPORT_PAGE, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 2,
                                  G_TYPE_STRING, G_TYPE_INT64);
}

static void
bl_import_page_init (BlImportPage *self)
{
  GtkWidget *all = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0), *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 12);
  GtkWidget *body = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 24), *clamp = adw_clamp_new ();

  gtk_box_append (GTK_BOX (box), head_new (self));
  gtk_box_append (GTK_BOX (body), items_new (self));
  gtk_box_append (GTK_BOX (body), right_new (self));
  gtk_widget_set_vexpand (body, TRUE);
  gtk_box_append (GTK_BOX (box), body);
  gtk_widget_set_margin_start (box, 24);
  gtk_widget_set_margin_end (box, 24);
  gtk_widget_set_margin_top (box, 16);
  gtk_widget_set_margin_bottom (box, 8);
  adw_clamp_set_maximum_size (ADW_CLAMP (clamp), 1400);
  adw_clamp_set_tightening_threshold (ADW_CLAMP (clamp), 1400);
  adw_clamp_set_child (ADW_CLAMP (clamp), box);
  gtk_box_append (GTK_BOX (all), clamp);
  gtk_box_append (GTK_BOX (all), keys_new ());
  gtk_widget_set_parent (all, GTK_WIDGET (self));
}

GtkWidget *
bl_import_page_new (void)
{
  return g_object_new (BL_TYPE_IMPORT_PAGE, NULL);
}
