/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Planting a fault. The trainer names part and how it fails now; from then on the drill holds it and nothing shows it
 * until the drill has ended: it is in no log, so no search finds it and no undo names it. Once sealed the view keeps no
 * word of it, since whoever practises sits down in front of the same screen. */
#include "config.h"

#include "bl-plant-view.h"

#include <glib/gi18n-lib.h>

#include "bl-case-photo.h"
#include "bl-drill-naming.h"
#include "bl-edition.h"
#include "bl-round-head.h"
#include "bl-style.h"

struct _BlPlantView
{
  GtkWidget parent_instance;

  BlPractice *practice;
  BlBoard *board; /* NULL: it cannot be read */
  BlPracticeSubject subject;
  gint64 person;
  GtkWidget *box, *naming, *modes, *none, *seal, *said, *burns, *photo;
};

enum
{
  SEALED,
  DONE,
  N_SIGNALS
};
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (BlPlantView, bl_plant_view, GTK_TYPE_WIDGET)

/* For whom it is sealed. */
static const char *
name_of (BlPlantView *self)
{
  GPtrArray *persons = bl_practice_get_persons (self->practice);

  for (guint i = 0; i < bl_len (persons); i++)
    if (((BlPerson *) bl_at (persons, i))->id == self->person)
      return ((BlPerson *) bl_at (persons, i))->name;
  return "?";
}

/* --- what is named --- */

static const char *
mode_of (BlPlantView *self)
{
  GtkListBoxRow *row = gtk_list_box_get_selected_row (GTK_LIST_BOX (self->modes));

  return row != NULL ? g_object_get_data (G_OBJECT (row), "mode") : NULL;
}

static void
show (BlPlantView *self)
{
  const char *component = bl_drill_naming_get_component (BL_DRILL_NAMING (self->naming)), *mode = mode_of (self);
  g_autofree char *words = component != NULL && mode != NULL
                             ? g_strdup_printf (_ ("To be sealed for %s: %s, %s."), name_of (self), component, mode)
                             : NULL;
  g_autofree char *fault = words != NULL ? g_strdup_printf ("%s:%s", component, mode) : NULL;

  gtk_widget_set_sensitive (self->seal, mode != NULL);
  gtk_label_set_label (GTK_LABEL (self->said), words != NULL       ? words
                                               : component == NULL ? _ ("Choose the part, then how it fails.")
                                                                   : _ ("Choose how it fails."));
  gtk_widget_set_visible (self->none, component == NULL);
  gtk_widget_set_visible (self->burns, fault != NULL && bl_practice_may_burn (self->board, fault));
  bl_case_photo_show (BL_CASE_PHOTO (self->photo), NULL, component, NULL, NULL);
}

static void
fill_modes (BlPlantView *self)
{
  const char *id = bl_drill_naming_get_component (BL_DRILL_NAMING (self->naming));
  const BlComponent *component = id != NULL ? bl_board_component (self->board, id) : NULL;

  bl_widget_clear (self->modes);
  for (guint i = 0; component != NULL && i < bl_len (component->modes); i++)
    {
      const BlMode *mode = bl_at (component->modes, i);
      GtkWidget *row = gtk_list_box_row_new ();
      g_autofree char *name = g_strdup_printf ("%s %s", component->id, mode->mode);
      gtk_list_box_row_set_child (GTK_LIST_BOX_ROW (row), bl_label (mode->mode, "strong", 0));
      g_object_set_data_full (G_OBJECT (row), "mode", g_strdup (mode->mode), g_free);
      bl_widget_name (row, name);
      gtk_list_box_append (GTK_LIST_BOX (self->modes), row);
    }
  show (self);
}

static void
part_taken (BlPlantView *self)
{
  GtkListBoxRow *first = gtk_list_box_get_row_at_index (GTK_LIST_BOX (self->modes), 0);

  if (first == NULL)
    return;
  gtk_list_box_select_row (GTK_LIST_BOX (self->modes), first);
  gtk_widget_grab_focus (GTK_WIDGET (first));
}

static void
mode_taken (BlPlantView *self)
{
  gtk_widget_grab_focus (self->seal);
}

static void
seal (BlPlantView *self)
{
  const char *component = bl_drill_naming_get_component (BL_DRILL_NAMING (self->naming)), *mode = mode_of (self);
  g_autoptr (GError) error = NULL;

  if (component == NULL || mode == NULL)
    return;
  g_autofree char *fault = g_strdup_printf ("%s:%s", component, mode);
  const char *const faults[] = { fault, NULL };
  gint64 drill = bl_practice_plant (self->practice, self->person, &self->subject, faults, &error);
  if (drill == 0)
    {
      gtk_label_set_label (GTK_LABEL (self->said), error->message);
      return;
    }
  bl_drill_naming_clear (BL_DRILL_NAMING (self->naming)); /* nothing of it stays on the screen */
  g_signal_emit (self, signals[SEALED], 0, drill);
}

static void
done (BlPlantView *self)
{
  g_signal_emit (self, signals[DONE], 0);
}

/* --- building --- */

static GtkWidget *
wrapped (const char *words, const char *classes)
{
  GtkWidget *label = bl_label (words, classes, 0);

  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  gtk_label_set_max_width_chars (GTK_LABEL (label), 60);
  return label;
}

static GtkWidget *
scrolled (GtkWidget *child)
{
  GtkWidget *window = gtk_scrolled_window_new ();

  gtk_scrolled_window_set_policy (GTK_SCROLLED_WINDOW (window), GTK_POLICY_NEVER, GTK_POLICY_AUTOMATIC);
  gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (window), child);
  gtk_widget_set_vexpand (window, TRUE);
  return window;
}

static GtkWidget *
modes_column (BlPlantView *self)
{
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 4), *head = bl_label (_ ("How does it fail now?"), "heading", 0);

  self->none = wrapped (_ ("The part comes first."), "muted");
  gtk_widget_set_size_request (head, -1, 28); /* as high as the entry beside it */
  gtk_box_append (GTK_BOX (box), head);
  gtk_box_append (GTK_BOX (box), self->none);
  gtk_box_append (GTK_BOX (box), scrolled (self->modes));
  gtk_widget_set_hexpand (box, TRUE);
  return box;
}

static GtkWidget *
choices (BlPlantView *self)
{
  GtkWidget *both = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 24);

  self->naming = bl_drill_naming_new (bl_label (_ ("Which part?"), "heading", 0));
  bl_drill_naming_set_board (BL_DRILL_NAMING (self->naming), self->board, TRUE);
  gtk_widget_set_vexpand (self->naming, TRUE);
  self->modes = gtk_list_box_new ();
  gtk_widget_add_css_class (self->modes, "naming-list");
  gtk_list_box_set_activate_on_single_click (GTK_LIST_BOX (self->modes), FALSE);
  gtk_box_set_homogeneous (GTK_BOX (both), TRUE);
  gtk_widget_set_vexpand (both, TRUE);
  gtk_box_append (GTK_BOX (both), self->naming);
  gtk_box_append (GTK_BOX (both), modes_column (self));
  g_signal_connect_swapped (self->naming, "chosen", G_CALLBACK (fill_modes), self);
  g_signal_connect_swapped (self->naming, "taken", G_CALLBACK (part_taken), self);
  g_signal_connect_swapped (self->modes, "row-selected", G_CALLBACK (show), self);
  g_signal_connect_swapped (self->modes, "row-activated", G_CALLBACK (mode_taken), self);
  return both;
}

static GtkWidget *
acts (BlPlantView *self)
{
  GtkWidget *line = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 12);
  GtkWidget *back = bl_act_button ("plain", _ ("Back"), _ ("Alt Q"), FALSE);

  self->seal = bl_act_button ("firm", _ ("Seal it"), _ ("Enter"), FALSE);
  self->said = bl_label ("", "strong", 0);
  gtk_label_set_ellipsize (GTK_LABEL (self->said), PANGO_ELLIPSIZE_END);
  gtk_widget_set_hexpand (self->said, TRUE);
  gtk_box_append (GTK_BOX (line), self->seal);
  gtk_box_append (GTK_BOX (line), back);
  gtk_box_append (GTK_BOX (line), self->said);
  g_signal_connect_swapped (self->seal, "clicked", G_CALLBACK (seal), self);
  g_signal_connect_swapped (back, "clicked", G_CALLBACK (done), self);
  return line;
}

/* What is open, as above every exercise. */
static GtkWidget *
head_new (BlPlantView *self)
{
  GtkWidget *head = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 12);

  gtk_widget_add_css_class (head, "round-head");
  gtk_box_append (GTK_BOX (head), bl_label (_ ("Plant a fault"), "page-title", 0));
  if (self->board != NULL && self->board->board_number != NULL && *self->board->board_number != '\0')
    {
      g_autofree char *title = self->board->edition != NULL && *self->board->edition != '\0'
                                 ? g_strdup_printf (_ ("%s, edition %s"), self->board->board_number, self->board->edition)
                                 : g_strdup (self->board->board_number);
      gtk_box_append (GTK_BOX (head), bl_label (title, "muted", 0));
    }
  g_autofree char *whom = g_strdup_printf (_ ("for %s"), name_of (self));
  gtk_box_append (GTK_BOX (head), bl_label (whom, "strong", 0));
  return head;
}

static GtkWidget *
column_new (BlPlantView *self)
{
  GtkWidget *column = gtk_box_new (GTK_ORIENTATION_VERTICAL, 10);
  GtkWidget *caution = wrapped (_ ("Before anything is lifted or bridged: switched off, discharged, proved dead. No fault "
                                   "that makes a touchable part live, defeats a fuse or a protective conductor, or burns at "
                                   "once. Local codes and licensed practice come first."), "caution");

  gtk_box_append (GTK_BOX (column), caution);
  gtk_box_append (GTK_BOX (column), wrapped (_ ("It is sealed until the drill ends: no list, log or search shows it. A lifted "
                                                "leg is open, a part taken out as well; a bridge across it is a short."),
                                             NULL));
  gtk_box_append (GTK_BOX (column), choices (self));
  self->burns = wrapped (_ ("A short in a supply may burn or trip at once: use a current-limited supply, or choose an open "
                            "fault."), "caution");
  gtk_box_append (GTK_BOX (column), self->burns);
  gtk_box_append (GTK_BOX (column), acts (self));
  gtk_widget_add_css_class (column, "plant-column");
  gtk_widget_set_size_request (column, 620, -1);
  gtk_widget_set_hexpand (column, FALSE);
  return column;
}

static void
build (BlPlantView *self, const char *trouble)
{
  const char *const keys[] = { _ ("Tab"), _ ("to the next"), _ ("↑ ↓"), _ ("in a list"), _ ("Enter"), _ ("takes it"),
                               _ ("Alt Q"), _ ("leave"), _ ("F1"), _ ("all keys"), NULL };

  gtk_box_append (GTK_BOX (self->box), head_new (self));
  if (self->board == NULL)
    {
      GtkWidget *back = bl_act_button ("plain", _ ("Back"), _ ("Alt Q"), FALSE);
      gtk_box_append (GTK_BOX (self->box), wrapped (trouble, "trouble"));
      gtk_widget_set_halign (back, GTK_ALIGN_START);
      gtk_widget_set_margin_start (back, 12);
      g_signal_connect_swapped (back, "clicked", G_CALLBACK (done), self);
      gtk_box_append (GTK_BOX (self->box), back);
      return;
    }
  GtkWidget *both = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 16);
  self->photo = bl_case_photo_new (bl_practice_get_shop (self->practice), self->subject, self->board);
  gtk_widget_set_hexpand (self->photo, TRUE);
  gtk_widget_set_vexpand (both, TRUE);
  gtk_box_append (GTK_BOX (both), self->photo);
  gtk_box_append (GTK_BOX (both), column_new (self));
  gtk_box_append (GTK_BOX (self->box), both);
  gtk_box_append (GTK_BOX (self->box), bl_round_keys_new (keys));
  show (self);
}

static gboolean
key_pressed (GtkEventControllerKey *controller, guint keyval, guint keycode, GdkModifierType state, BlPlantView *self)
{
  GdkModifierType modifiers = state & (GDK_CONTROL_MASK | GDK_SHIFT_MASK | GDK_ALT_MASK);

  if (modifiers == GDK_ALT_MASK && gdk_keyval_to_lower (keyval) == GDK_KEY_q)
    {
      done (self);
      return TRUE;
    }
  return self->naming != NULL && bl_drill_naming_key (BL_DRILL_NAMING (self->naming), keyval, state);
}

/* --- object --- */

static void
bl_plant_view_dispose (GObject *object)
{
  BlPlantView *self = BL_PLANT_VIEW (object);

  g_clear_pointer (&self->box, gtk_widget_unparent);
  g_clear_pointer (&self->board, bl_board_free);
  g_clear_object (&self->practice);
  G_OBJECT_CLASS (bl_plant_view_parent_class)->dispose (object);
}

static void
bl_plant_view_class_init (BlPlantViewClass *klass)
{
  G_OBJECT_CLASS (klass)->dispose = bl_plant_view_dispose;
  gtk_widget_class_set_layout_manager_type (GTK_WIDGET_CLASS (klass), GTK_TYPE_BIN_LAYOUT);
  signals[SEALED] = g_signal_new ("sealed", BL_TYPE_PLANT_VIEW, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 1,
                                  G_TYPE_INT64);
  signals[DONE] = g_signal_new ("done", BL_TYPE_PLANT_VIEW, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
}

static void
bl_plant_view_init (BlPlantView *self)
{
  GtkEventController *keys = gtk_event_controller_key_new ();

  self->box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);
  gtk_widget_set_parent (self->box, GTK_WIDGET (self));
  gtk_event_controller_set_propagation_phase (keys, GTK_PHASE_CAPTURE);
  g_signal_connect (keys, "key-pressed", G_CALLBACK (key_pressed), self);
  gtk_widget_add_controller (GTK_WIDGET (self), keys);
}

static BlBoard *
load (BlLibrary *shop, const BlPracticeSubject *subject, GError **error)
{
  if (subject->equipment == 0)
    return bl_library_load_board (shop, subject->board, error);
  g_autoptr (BlEdition) joined = bl_edition_new_joined (shop, subject->equipment, error);
  return joined != NULL ? bl_board_copy (bl_edition_get_board (joined)) : NULL;
}

GtkWidget *
bl_plant_view_new (BlPractice *practice, gint64 person, const BlPracticeSubject *subject)
{
  g_return_val_if_fail (BL_IS_PRACTICE (practice) && subject != NULL, NULL);
  BlPlantView *self = g_object_new (BL_TYPE_PLANT_VIEW, NULL);
  g_autoptr (GError) error = NULL;

  self->practice = g_object_ref (practice);
  self->person = person;
  self->subject = *subject;
  self->board = load (bl_practice_get_shop (practice), subject, &error);
  build (self, error != NULL ? error->message : NULL);
  return GTK_WIDGET (self);
}

void
bl_plant_view_focus (BlPlantView *self)
{
  g_return_if_fail (BL_IS_PLANT_VIEW (self));
  if (self->naming != NULL)
    bl_drill_naming_focus (BL_DRILL_NAMING (self->naming));
}
