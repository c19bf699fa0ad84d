/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What to begin: on which board or equipment, in which sections, and the exercises with a digit each. Read from the
 * shop's documents each time the place is shown, which are some ten. */
#include "config.h"

#include "bl-practice-page-private.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#include "bl-chooser.h"
#include "bl-library-equipment.h"
#include "bl-shell.h"
#include "bl-style.h"
#include "bl-wrap-box.h"

enum { SECTION_KIND_TITLE = 40 }; /* characters of a section's title at most */

typedef void (*Exercise) (BlPracticePage *self);

/* --- what was chosen --- */

gboolean
bl_practice_begin_subject (BlPracticePage *self, BlPracticeSubject *subject)
{
  if (self->subjects == NULL || self->subject >= self->subjects->len)
    return FALSE;
  const BlSubject *chosen = bl_at (self->subjects, self->subject);
  subject->board = chosen->kind == BL_SUBJECT_BOARD ? chosen->id : 0;
  subject->equipment = chosen->kind == BL_SUBJECT_EQUIPMENT ? chosen->id : 0;
  return TRUE;
}

char **
bl_practice_begin_sections (BlPracticePage *self)
{
  g_autoptr (GStrvBuilder) builder = g_strv_builder_new ();
  guint n = 0, all = 0;

  for (GtkWidget *chip = gtk_widget_get_first_child (self->sections); chip != NULL; chip = gtk_widget_get_next_sibling (chip))
    {
      all++;
      if (!gtk_toggle_button_get_active (GTK_TOGGLE_BUTTON (chip)))
        continue;
      g_strv_builder_add (builder, g_object_get_data (G_OBJECT (chip), "section"));
      n++;
    }
  return n > 0 && n < all ? g_strv_builder_end (builder) : NULL;
}

/* --- exercises --- */

static void
begin_way (BlPracticePage *self)
{
  g_auto (GStrv) sections = bl_practice_begin_sections (self);
  bl_practice_page_ask (self, BL_ANSWER_WAY, (const char *const *) sections, NULL);
}

static void
begin_reads (BlPracticePage *self)
{
  g_auto (GStrv) sections = bl_practice_begin_sections (self);
  bl_practice_page_ask (self, BL_ANSWER_READS, (const char *const *) sections, NULL);
}

static const struct
{
  const char *title, *words;
  Exercise begin;
} exercises[] = {
  { N_ ("Find your way"),
    N_ ("Press what is asked for, name what is lit: ten questions."),
    begin_way },
  { N_ ("What should it read?"), N_ ("State, meter, black probe, value of five measurements."), begin_reads },
  { N_ ("Worked case"),
    N_ ("Step by step with the reasons: first shown, later asked."),
    bl_practice_begin_worked },
  { N_ ("Fault drill"),
    N_ ("Find it without odds and advice; then see what was best."),
    bl_practice_begin_drill },
  { N_ ("Plant a fault"),
    N_ ("By the trainer, on a real board: sealed until it is found."),
    bl_practice_begin_plant },
};

static gboolean
can_begin (BlPracticePage *self)
{
  return bl_practice_get_person (self->practice) != NULL && self->board != NULL;
}

gboolean
bl_practice_begin_number (BlPracticePage *self, guint number)
{
  if (number < 1 || number > G_N_ELEMENTS (exercises) || !can_begin (self))
    return FALSE;
  exercises[number - 1].begin (self);
  return TRUE;
}

static void
exercise_pressed (GtkButton *button, BlPracticePage *self)
{
  bl_practice_begin_number (self, GPOINTER_TO_UINT (g_object_get_data (G_OBJECT (button), "number")));
}

static GtkWidget *
exercise_row (BlPracticePage *self, guint number)
{
  GtkWidget *button = gtk_button_new (), *row = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 10);
  GtkWidget *words = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0), *cap;
  GtkWidget *about = bl_practice_words (_ (exercises[number - 1].words), "muted small");
  gtk_widget_set_hexpand (words, TRUE);
  g_autofree char *digit = g_strdup_printf ("%u", number);

  cap = bl_key_cap (digit);
  gtk_widget_set_valign (cap, GTK_ALIGN_START);
  gtk_widget_set_margin_top (cap, 2);
  gtk_box_append (GTK_BOX (words), bl_label (_ (exercises[number - 1].title), "exercise", 0));
  gtk_box_append (GTK_BOX (words), about);
  if (exercises[number - 1].begin == bl_practice_begin_drill)
    self->drill_words = about;
  gtk_box_append (GTK_BOX (row), cap);
  gtk_box_append (GTK_BOX (row), words);
  gtk_button_set_child (GTK_BUTTON (button), row);
  gtk_widget_add_css_class (button, "exercise-row");
  bl_widget_name (button, _ (exercises[number - 1].title));
  g_object_set_data (G_OBJECT (button), "number", GUINT_TO_POINTER (number));
  g_signal_connect (button, "clicked", G_CALLBACK (exercise_pressed), self);
  return button;
}

/* --- the board --- */

/* Of an equipment with its box: two boxes have sections of the same name. (transfer full) */
static char *
section_title (const BlSection *section)
{
  const char *title = section->title != NULL && *section->title != '\0' ? section->title : section->id;
  const char *slash = strchr (section->id, '/');

  /* Translators: box of the equipment, section of its board: "wall: Supply" */
  return slash != NULL ? g_strdup_printf (_ ("%.*s: %s"), (int) (slash - section->id), section->id, title) : g_strdup (title);
}

static void
show_sections (BlPracticePage *self)
{
  bl_widget_clear (self->sections);
  for (guint i = 0; self->board != NULL && i < bl_len (self->board->sections); i++)
    {
      const BlSection *section = bl_at (self->board->sections, i);
      g_autofree char *title = section_title (section);
      GtkWidget *chip = gtk_toggle_button_new_with_label (title);
      gtk_label_set_max_width_chars (GTK_LABEL (gtk_button_get_child (GTK_BUTTON (chip))), SECTION_KIND_TITLE);
      gtk_label_set_ellipsize (GTK_LABEL (gtk_button_get_child (GTK_BUTTON (chip))), PANGO_ELLIPSIZE_END);
      gtk_widget_add_css_class (chip, "chip");
      gtk_widget_set_focus_on_click (chip, FALSE);
      g_object_set_data_full (G_OBJECT (chip), "section", g_strdup (section->id), g_free);
      bl_wrap_box_append (BL_WRAP_BOX (self->sections), chip);
    }
}

/* In few words: the maker stands in the list. (transfer full) */
static char *
short_title (const BlSubject *subject)
{
  if (subject->kind != BL_SUBJECT_BOARD || *subject->number == '\0')
    return g_strdup (subject->title);
  return *subject->edition != '\0' ? g_strdup_printf (_ ("%s, edition %s"), subject->number, subject->edition)
                                  : g_strdup (subject->number);
}

static void
load_subject (BlPracticePage *self)
{
  BlPracticeSubject subject = { 0, 0 };
  GError *error = NULL;

  g_clear_pointer (&self->board, bl_board_free);
  if (bl_practice_begin_subject (self, &subject))
    {
      const BlSubject *chosen = bl_at (self->subjects, self->subject);
      self->board = subject.equipment != 0 ? bl_library_join_equipment (self->shop, subject.equipment, NULL, &error)
                                           : bl_library_load_board (self->shop, subject.board, &error);
      g_autofree char *title = short_title (chosen);
      bl_chooser_show (BL_CHOOSER (self->subject_chooser), chosen->title, title, FALSE);
      if (self->board == NULL)
        bl_widget_report (GTK_WIDGET (self), _ ("The document cannot be read"), error);
    }
  else
    bl_chooser_show (BL_CHOOSER (self->subject_chooser), "", _ ("no documented board yet"), TRUE);
  show_sections (self);
  bl_practice_kinds_allow (self, subject.equipment != 0);
  bl_practice_begin_show (self);
}

void
bl_practice_begin_read (BlPracticePage *self)
{
  g_autoptr (GPtrArray) old = g_steal_pointer (&self->subjects);
  const BlSubject *before = old != NULL && self->subject < old->len ? bl_at (old, self->subject) : NULL;
  GError *error = NULL;

  self->subjects = bl_subjects (self->shop, &error);
  self->subject = 0;
  if (self->subjects == NULL)
    {
      bl_widget_report (GTK_WIDGET (self), _ ("The boards cannot be listed"), error);
      self->subjects = g_ptr_array_new ();
    }
  for (guint i = self->subjects->len; i-- > 0;)
    {
      const BlSubject *subject = bl_at (self->subjects, i);
      if (subject->kind == BL_SUBJECT_PHOTO) /* nothing is documented that could be asked */
        g_ptr_array_remove_index (self->subjects, i);
    }
  for (guint i = 0; before != NULL && i < self->subjects->len; i++)
    {
      const BlSubject *subject = bl_at (self->subjects, i);
      if (subject->kind == before->kind && subject->id == before->id)
        self->subject = i;
    }
  load_subject (self);
}

static void
fill_subjects (BlPracticePage *self)
{
  for (guint i = 0; i < bl_len (self->subjects); i++)
    {
      const BlSubject *subject = bl_at (self->subjects, i);
      bl_chooser_add (BL_CHOOSER (self->subject_chooser), subject->title, subject->title);
    }
}

static void
subject_chosen (BlChooser *chooser, const char *value, BlPracticePage *self)
{
  for (guint i = 0; i < bl_len (self->subjects); i++)
    if (g_strcmp0 (((BlSubject *) bl_at (self->subjects, i))->title, value) == 0)
      self->subject = i;
  load_subject (self);
}

/* --- layout --- */

/* What waits for whoever practises is taken before a new one is drawn, and is said so. */
static void
show_waiting (BlPracticePage *self)
{
  const BlPerson *person = self->practice != NULL ? bl_practice_get_person (self->practice) : NULL;
  guint n = person != NULL ? bl_practice_waiting (self, person->id, NULL, NULL) : 0;
  g_autofree char *words = n > 0 ? g_strdup_printf (ngettext ("%u waits: it is taken.", "%u wait: the first is taken.", n), n)
                                 : g_strdup (_ ("Find it without odds and advice; then see what was best."));

  gtk_label_set_label (GTK_LABEL (self->drill_words), words);
}

void
bl_practice_begin_show (BlPracticePage *self)
{
  gboolean ready = self->practice != NULL && can_begin (self);

  gtk_widget_set_sensitive (self->exercises, ready);
  gtk_widget_set_visible (self->nobody, !ready);
  show_waiting (self);
  gtk_label_set_label (GTK_LABEL (self->nobody),
                       self->board == NULL ? _ ("There is no documented board yet: Boards (Ctrl 2) is where one is made.")
                                           : _ ("Say at the left who practises, then begin."));
}

static GtkWidget *
line (const char *words, GtkWidget *what)
{
  GtkWidget *row = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8), *label = bl_label (words, "muted", 0);

  gtk_widget_set_size_request (label, 62, -1);
  gtk_widget_set_valign (label, GTK_ALIGN_START);
  gtk_widget_set_margin_top (label, 3);
  gtk_widget_set_hexpand (what, TRUE);
  gtk_box_append (GTK_BOX (row), label);
  gtk_box_append (GTK_BOX (row), what);
  return row;
}

GtkWidget *
bl_practice_begin_new (BlPracticePage *self)
{
  GtkWidget *panel = gtk_box_new (GTK_ORIENTATION_VERTICAL, 6);

  self->subject_chooser = bl_chooser_new (_ ("Board or equipment to practise on"), FALSE);
  g_signal_connect_object (self->subject_chooser, "fill", G_CALLBACK (fill_subjects), self, G_CONNECT_SWAPPED);
  g_signal_connect_object (self->subject_chooser, "chosen", G_CALLBACK (subject_chosen), self, 0);
  self->sections = bl_wrap_box_new (6, 4);
  self->nobody = bl_practice_words ("", "remark");
  self->exercises = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);
  for (guint i = 1; i <= G_N_ELEMENTS (exercises); i++)
    gtk_box_append (GTK_BOX (self->exercises), exercise_row (self, i));
  gtk_box_append (GTK_BOX (panel), line (_ ("on"), self->subject_chooser));
  gtk_box_append (GTK_BOX (panel), line (_ ("sections"), self->sections));
  gtk_box_append (GTK_BOX (panel), bl_practice_words (_ ("None pressed: all of them. Weak ones come more often."), "muted small"));
  gtk_box_append (GTK_BOX (panel), self->nobody);
  gtk_box_append (GTK_BOX (panel), self->exercises);
  gtk_widget_add_css_class (panel, "focus-panel");
  return panel;
}
