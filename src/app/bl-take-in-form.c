/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The fields of the counter. What the job is about comes first and stands in the one outlined panel: typing a number or
 * an edition narrows the list below it, arrows choose, and what is doubtful about the edition is said at once, since a
 * lamp code means something else on another edition. Enter goes to the next field: that is also what a hand scanner types
 * behind a code. */
#include "config.h"

#include <glib/gi18n-lib.h>
#include <stdlib.h>

#include "bl-chooser.h"
#include "bl-library-take-in.h"
#include "bl-shell.h"
#include "bl-style.h"
#include "bl-take-in-private.h"

#define SHOWN 5 /* rows of the list; a list of a hundred boards is narrowed by typing */
#define NAME_WIDTH 96

/* --- what it is about --- */

static void
show_doubt (BlTakeInPage *self)
{
  g_autofree char *doubt
    = self->subjects != NULL
        ? bl_subject_doubt (self->subjects, self->chosen, bl_take_in_form_get (self, BL_CODE_BOARD_NUMBER),
                            bl_take_in_form_get (self, BL_CODE_EDITION))
        : NULL;

  gtk_label_set_label (GTK_LABEL (self->doubt), doubt != NULL ? doubt : "");
  gtk_widget_set_visible (self->doubt, doubt != NULL);
}

static void
read_symptoms (BlTakeInPage *self)
{
  gboolean board = self->chosen != NULL && self->chosen->kind == BL_SUBJECT_BOARD;
  g_autoptr (BlBoard) document = board ? bl_library_load_board (self->library, self->chosen->id, NULL) : NULL;

  g_ptr_array_set_size (self->symptoms, 0);
  g_clear_pointer (&self->symptom_id, g_free);
  for (guint i = 0; document != NULL && i < bl_len (document->symptoms); i++)
    {
      const BlSymptom *symptom = bl_at (document->symptoms, i);
      g_ptr_array_add (self->symptoms, g_strdup (symptom->id));
      g_ptr_array_add (self->symptoms, g_strdup (symptom->title != NULL ? symptom->title : symptom->id));
    }
  bl_chooser_show (BL_CHOOSER (self->symptom), "", _ ("not said"), TRUE);
  gtk_widget_set_visible (self->symptom_row, self->symptoms->len > 0);
  gtk_widget_set_visible (self->good, board);
}

static void
choose (BlTakeInPage *self, const BlSubject *subject)
{
  gboolean other = subject != self->chosen;

  self->chosen = subject;
  if (subject == NULL)
    gtk_list_box_unselect_all (GTK_LIST_BOX (self->subject_list));
  for (guint i = 0; i < bl_len (self->matching) && i < SHOWN; i++)
    {
      GtkListBoxRow *row = gtk_list_box_get_row_at_index (GTK_LIST_BOX (self->subject_list), (int) i);
      if (row != NULL && bl_at (self->matching, i) == subject)
        gtk_list_box_select_row (GTK_LIST_BOX (self->subject_list), row);
    }
  if (other)
    read_symptoms (self);
  show_doubt (self);
  bl_take_in_form_say (self, NULL);
}

static GtkWidget *
subject_row (const BlSubject *subject)
{
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 12), *row = gtk_list_box_row_new ();
  GtkWidget *title = bl_label (subject->title, "strong", 0), *detail = bl_label (subject->detail, "muted small", 1);
  g_autofree char *name = g_strdup_printf ("%s, %s", subject->title, subject->detail);

  gtk_label_set_ellipsize (GTK_LABEL (title), PANGO_ELLIPSIZE_END);
  gtk_widget_set_hexpand (title, TRUE);
  gtk_box_append (GTK_BOX (box), title);
  gtk_box_append (GTK_BOX (box), detail);
  gtk_list_box_row_set_child (GTK_LIST_BOX_ROW (row), box);
  gtk_widget_set_focusable (row, FALSE); /* arrows in the fields above choose */
  bl_widget_name (row, name);
  return row;
}

/* The rows: the first that match, and the photo alone, which is always the last. */
static void
show_matching (BlTakeInPage *self)
{
  g_clear_pointer (&self->matching, g_ptr_array_unref);
  bl_widget_clear (self->subject_list);
  if (self->subjects == NULL)
    return;
  self->matching = bl_subjects_matching (self->subjects, bl_take_in_form_get (self, BL_CODE_BOARD_NUMBER),
                                         bl_take_in_form_get (self, BL_CODE_EDITION));
  if (self->matching->len > SHOWN)
    g_ptr_array_remove_range (self->matching, SHOWN - 1, self->matching->len - SHOWN);
  for (guint i = 0; i < self->matching->len; i++)
    gtk_list_box_append (GTK_LIST_BOX (self->subject_list), subject_row (bl_at (self->matching, i)));
}

static void
name_typed (BlTakeInPage *self)
{
  if (self->filling)
    return;
  gboolean typed = *bl_take_in_form_get (self, BL_CODE_BOARD_NUMBER) != '\0'
                   || *bl_take_in_form_get (self, BL_CODE_EDITION) != '\0';
  show_matching (self);
  /* The first of a list that nobody has narrowed is nobody's choice. */
  choose (self, typed && bl_len (self->matching) > 0 ? bl_at (self->matching, 0) : NULL);
}

void
bl_take_in_form_step (BlTakeInPage *self, int step)
{
  int n = (int) bl_len (self->matching), at = -1;

  for (int i = 0; i < n; i++)
    if (bl_at (self->matching, (guint) i) == self->chosen)
      at = i;
  if (n > 0)
    choose (self, bl_at (self->matching, (guint) CLAMP (at + step, 0, n - 1)));
}

static void
row_chosen (GtkListBox *list, GtkListBoxRow *row, BlTakeInPage *self)
{
  int index = row != NULL ? gtk_list_box_row_get_index (row) : -1;

  if (index >= 0 && (guint) index < bl_len (self->matching) && bl_at (self->matching, (guint) index) != self->chosen)
    choose (self, bl_at (self->matching, (guint) index));
}

void
bl_take_in_form_choose_board (BlTakeInPage *self, gint64 board, gint64 equipment)
{
  for (guint i = 0; i < bl_len (self->subjects); i++)
    {
      const BlSubject *subject = bl_at (self->subjects, i);
      gboolean it = (subject->kind == BL_SUBJECT_BOARD && board != 0 && subject->id == board)
                    || (subject->kind == BL_SUBJECT_EQUIPMENT && equipment != 0 && subject->id == equipment);
      if (!it)
        continue;
      self->filling = TRUE;
      bl_take_in_form_set (self, BL_CODE_BOARD_NUMBER, *subject->number != '\0' ? subject->number : subject->title);
      bl_take_in_form_set (self, BL_CODE_EDITION, subject->edition);
      self->filling = FALSE;
      show_matching (self);
      choose (self, subject);
      return;
    }
}

/* --- symptom --- */

static void
fill_symptoms (BlChooser *chooser, BlTakeInPage *self)
{
  bl_chooser_add (chooser, "", _ ("not said"));
  for (guint i = 0; i + 1 < self->symptoms->len; i += 2)
    bl_chooser_add (chooser, g_ptr_array_index (self->symptoms, i), g_ptr_array_index (self->symptoms, i + 1));
}

static void
symptom_chosen (BlChooser *chooser, const char *value, BlTakeInPage *self)
{
  const char *words = _ ("not said");

  g_free (self->symptom_id);
  self->symptom_id = *value != '\0' ? g_strdup (value) : NULL;
  for (guint i = 0; i + 1 < self->symptoms->len; i += 2)
    if (g_strcmp0 (g_ptr_array_index (self->symptoms, i), self->symptom_id) == 0)
      words = g_ptr_array_index (self->symptoms, i + 1);
  bl_chooser_show (chooser, self->symptom_id != NULL ? self->symptom_id : "", words, self->symptom_id == NULL);
}

/* --- fields --- */

const char *
bl_take_in_form_get (BlTakeInPage *self, guint field)
{
  return self->fields[field] != NULL ? gtk_editable_get_text (self->fields[field]) : "";
}

void
bl_take_in_form_set (BlTakeInPage *self, guint field, const char *text)
{
  if (self->fields[field] == NULL)
    return;
  gtk_editable_set_text (self->fields[field], text != NULL ? text : "");
  gtk_editable_set_position (self->fields[field], -1);
}

static void
number_typed (BlTakeInPage *self)
{
  bl_take_in_form_say (self, NULL);
}

static void
serial_typed (BlTakeInPage *self)
{
  bl_take_in_look_for_earlier (self);
}

/* The next field that is written in, past the buttons between them. */
static void
go_on (BlTakeInPage *self, GtkWidget *from)
{
  GtkWidget *order[] = { GTK_WIDGET (self->fields[BL_FIELD_NUMBER]), GTK_WIDGET (self->fields[BL_CODE_BOARD_NUMBER]),
                         GTK_WIDGET (self->fields[BL_CODE_EDITION]), GTK_WIDGET (self->fields[BL_CODE_SERIAL]),
                         GTK_WIDGET (self->fields[BL_CODE_CUSTOMER]), GTK_WIDGET (self->fields[BL_CODE_UNIT]),
                         GTK_WIDGET (self->complaint), GTK_WIDGET (self->fields[BL_FIELD_CAME_WITH]), self->symptom };

  for (guint i = 0; i + 1 < G_N_ELEMENTS (order); i++)
    if (order[i] == from)
      gtk_widget_child_focus (order[i + 1], GTK_DIR_TAB_FORWARD);
}

/* Enter: on to the next field, or what a scanner typed means more than this field. */
static void
field_entered (GtkEntry *entry, BlTakeInPage *self)
{
  g_autofree char *text = g_strdup (gtk_editable_get_text (GTK_EDITABLE (entry)));
  g_autoptr (BlCodeText) code = bl_code_text_read (text);

  if (code != NULL && (code->job != NULL || code->parts->len > 1 || code->trouble != NULL))
    {
      gtk_editable_set_text (GTK_EDITABLE (entry), "");
      bl_take_in_use_code (self, text);
      return;
    }
  go_on (self, GTK_WIDGET (entry));
}

/* name: NULL where a label with a mnemonic gives it one. */
static GtkWidget *
field_new (BlTakeInPage *self, guint field, const char *name, const char *hint, int chars)
{
  GtkWidget *entry = gtk_entry_new ();

  self->fields[field] = GTK_EDITABLE (entry);
  gtk_entry_set_placeholder_text (GTK_ENTRY (entry), hint);
  gtk_editable_set_width_chars (GTK_EDITABLE (entry), chars > 0 ? chars : 8);
  if (chars == 0)
    gtk_widget_set_hexpand (entry, TRUE);
  else
    gtk_editable_set_max_width_chars (GTK_EDITABLE (entry), chars);
  if (name != NULL)
    bl_widget_name (entry, name);
  g_signal_connect (entry, "activate", G_CALLBACK (field_entered), self);
  return entry;
}

static GtkWidget *
name_new (const char *words, GtkWidget *of)
{
  GtkWidget *label = gtk_label_new_with_mnemonic (words);

  gtk_label_set_xalign (GTK_LABEL (label), 0);
  gtk_widget_add_css_class (label, "muted");
  gtk_label_set_mnemonic_widget (GTK_LABEL (label), of);
  return label;
}

/* A name, then what stands beside it. */
static GtkWidget *
row_new (const char *words, GtkWidget *first)
{
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 10), *name = name_new (words, first);

  gtk_widget_set_size_request (name, NAME_WIDTH, -1);
  gtk_box_append (GTK_BOX (box), name);
  gtk_box_append (GTK_BOX (box), first);
  return box;
}

static GtkWidget *
about_new (BlTakeInPage *self)
{
  GtkWidget *panel = gtk_box_new (GTK_ORIENTATION_VERTICAL, 6), *line = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8);
  GtkWidget *number = field_new (self, BL_CODE_BOARD_NUMBER, NULL, _ ("as printed on it"), 0);
  GtkWidget *edition = field_new (self, BL_CODE_EDITION, NULL, C_ ("of an edition", "mark"), 7);

  gtk_box_append (GTK_BOX (line), name_new (_ ("_Board"), number));
  gtk_box_append (GTK_BOX (line), number);
  gtk_box_append (GTK_BOX (line), name_new (_ ("_Edition"), edition));
  gtk_box_append (GTK_BOX (line), edition);
  g_signal_connect_swapped (number, "changed", G_CALLBACK (name_typed), self);
  g_signal_connect_swapped (edition, "changed", G_CALLBACK (name_typed), self);
  self->subject_list = gtk_list_box_new ();
  gtk_widget_add_css_class (self->subject_list, "subjects");
  gtk_widget_set_can_focus (self->subject_list, FALSE);
  bl_widget_name (self->subject_list, _ ("What the job is about"));
  g_signal_connect (self->subject_list, "row-selected", G_CALLBACK (row_chosen), self);
  self->doubt = bl_label ("", "remark", 0);
  gtk_label_set_wrap (GTK_LABEL (self->doubt), TRUE);
  gtk_label_set_max_width_chars (GTK_LABEL (self->doubt), 70);
  gtk_box_append (GTK_BOX (panel), line);
  gtk_box_append (GTK_BOX (panel), self->subject_list);
  gtk_box_append (GTK_BOX (panel), self->doubt);
  gtk_widget_add_css_class (panel, "about-panel");
  return panel;
}

/* Tab leaves it, as it leaves every other field. */
static GtkWidget *
complaint_new (BlTakeInPage *self)
{
  GtkWidget *view = gtk_text_view_new (), *scrolled = gtk_scrolled_window_new ();

  self->complaint = GTK_TEXT_VIEW (view);
  gtk_text_view_set_wrap_mode (self->complaint, GTK_WRAP_WORD_CHAR);
  gtk_text_view_set_accepts_tab (self->complaint, FALSE);
  gtk_text_view_set_left_margin (self->complaint, 8);
  gtk_text_view_set_right_margin (self->complaint, 8);
  gtk_text_view_set_top_margin (self->complaint, 6);
  gtk_text_view_set_bottom_margin (self->complaint, 6);
  gtk_scrolled_window_set_policy (GTK_SCROLLED_WINDOW (scrolled), GTK_POLICY_NEVER, GTK_POLICY_AUTOMATIC);
  gtk_scrolled_window_set_min_content_height (GTK_SCROLLED_WINDOW (scrolled), 88);
  gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (scrolled), view);
  gtk_widget_add_css_class (scrolled, "words-field");
  gtk_widget_set_hexpand (scrolled, TRUE);
  return scrolled;
}

static GtkWidget *
symptom_new (BlTakeInPage *self)
{
  self->symptom = bl_chooser_new (_ ("Symptom"), FALSE);
  g_signal_connect (self->symptom, "fill", G_CALLBACK (fill_symptoms), self);
  g_signal_connect (self->symptom, "chosen", G_CALLBACK (symptom_chosen), self);
  self->symptom_row = row_new (_ ("S_hows"), self->symptom);
  return self->symptom_row;
}

GtkWidget *
bl_take_in_form_new (BlTakeInPage *self)
{
  GtkWidget *form = gtk_box_new (GTK_ORIENTATION_VERTICAL, 8), *row;

  gtk_box_append (GTK_BOX (form), about_new (self));
  row = row_new (_ ("_Serial"), field_new (self, BL_CODE_SERIAL, NULL, _ ("of the board or unit"), 0));
  gtk_box_append (GTK_BOX (row), bl_act_button ("act", _ ("by camera"), "F12", FALSE));
  g_signal_connect_swapped (gtk_widget_get_last_child (row), "clicked", G_CALLBACK (bl_take_in_toggle_camera), self);
  g_signal_connect_swapped (self->fields[BL_CODE_SERIAL], "changed", G_CALLBACK (serial_typed), self);
  gtk_box_append (GTK_BOX (form), row);
  self->earlier_box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 2);
  gtk_widget_set_margin_start (self->earlier_box, NAME_WIDTH + 10);
  gtk_box_append (GTK_BOX (form), self->earlier_box);
  row = row_new (_ ("C_ustomer"), field_new (self, BL_CODE_CUSTOMER, NULL, NULL, 0));
  gtk_box_append (GTK_BOX (form), row);
  row = row_new (_ ("U_nit"), field_new (self, BL_CODE_UNIT, NULL, _ ("what the board works in"), 0));
  gtk_box_append (GTK_BOX (form), row);
  row = row_new (_ ("_Complaint"), complaint_new (self));
  gtk_label_set_mnemonic_widget (GTK_LABEL (gtk_widget_get_first_child (row)), GTK_WIDGET (self->complaint));
  gtk_widget_set_valign (gtk_widget_get_first_child (row), GTK_ALIGN_START);
  gtk_box_append (GTK_BOX (form), row);
  row = row_new (_ ("Came _with"), field_new (self, BL_FIELD_CAME_WITH, NULL,
                                              _ ("remote control, mounting plate, cable …"), 0));
  gtk_box_append (GTK_BOX (form), row);
  gtk_box_append (GTK_BOX (form), symptom_new (self));
  self->good = gtk_check_button_new_with_mnemonic (_ ("_known-good board: it works, and says what good boards read"));
  gtk_widget_set_margin_start (self->good, NAME_WIDTH + 4);
  gtk_box_append (GTK_BOX (form), self->good);
  self->problem = bl_label ("", "trouble", 0);
  gtk_label_set_wrap (GTK_LABEL (self->problem), TRUE);
  gtk_label_set_max_width_chars (GTK_LABEL (self->problem), 70);
  gtk_box_append (GTK_BOX (form), self->problem);
  gtk_widget_set_visible (self->problem, FALSE);
  self->symptoms = g_ptr_array_new_with_free_func (g_free);
  field_new (self, BL_FIELD_NUMBER, _ ("Job number"), NULL, 7);
  g_signal_connect_swapped (self->fields[BL_FIELD_NUMBER], "changed", G_CALLBACK (number_typed), self);
  return form;
}

/* --- all of it --- */

void
bl_take_in_form_say (BlTakeInPage *self, const char *problem)
{
  gtk_label_set_label (GTK_LABEL (self->problem), problem != NULL ? problem : "");
  gtk_widget_set_visible (self->problem, problem != NULL);
}

void
bl_take_in_form_clear (BlTakeInPage *self)
{
  self->filling = TRUE;
  for (guint i = 0; i < BL_N_FIELDS; i++)
    bl_take_in_form_set (self, i, "");
  self->filling = FALSE;
  gtk_text_buffer_set_text (gtk_text_view_get_buffer (self->complaint), "", -1);
  gtk_check_button_set_active (GTK_CHECK_BUTTON (self->good), FALSE);
  bl_take_in_form_say (self, NULL);
}

void
bl_take_in_form_read (BlTakeInPage *self)
{
  GError *error = NULL;
  int next = bl_library_next_job_number (self->library, NULL);
  g_autofree char *number = g_strdup_printf ("%d", next);
  gint64 chosen = self->chosen != NULL ? self->chosen->id : 0;
  BlSubjectKind kind = self->chosen != NULL ? self->chosen->kind : BL_SUBJECT_PHOTO;
  gboolean had = self->chosen != NULL;

  self->chosen = NULL;
  bl_widget_clear (self->subject_list);
  g_clear_pointer (&self->matching, g_ptr_array_unref);
  g_clear_pointer (&self->subjects, g_ptr_array_unref);
  self->subjects = bl_subjects (self->library, &error);
  if (error != NULL)
    bl_widget_report (GTK_WIDGET (self), _ ("The boards cannot be listed"), error);
  if (next > 0 && *bl_take_in_form_get (self, BL_FIELD_NUMBER) == '\0')
    bl_take_in_form_set (self, BL_FIELD_NUMBER, number);
  show_matching (self);
  const BlSubject *again = NULL;
  for (guint i = 0; had && i < bl_len (self->matching); i++)
    {
      const BlSubject *subject = bl_at (self->matching, i);
      if (subject->id == chosen && subject->kind == kind)
        again = subject;
    }
  choose (self, again);
  read_symptoms (self);
}

void
bl_take_in_form_choose_photo (BlTakeInPage *self)
{
  for (guint i = 0; self->chosen == NULL && i < bl_len (self->matching); i++)
    if (((const BlSubject *) bl_at (self->matching, i))->kind == BL_SUBJECT_PHOTO)
      choose (self, bl_at (self->matching, i));
  bl_take_in_form_say (self, NULL);
}

BlTakeIn *
bl_take_in_form_collect (BlTakeInPage *self)
{
  BlTakeIn *taken = bl_take_in_new ();
  GtkTextBuffer *words = gtk_text_view_get_buffer (self->complaint);
  GtkTextIter from, to;

  gtk_text_buffer_get_bounds (words, &from, &to);
  taken->number = atoi (bl_take_in_form_get (self, BL_FIELD_NUMBER));
  if (self->chosen != NULL)
    {
      taken->about = self->chosen->kind;
      taken->subject = self->chosen->id;
    }
  taken->board_number = g_strdup (bl_take_in_form_get (self, BL_CODE_BOARD_NUMBER));
  taken->edition = g_strdup (bl_take_in_form_get (self, BL_CODE_EDITION));
  if (taken->about == BL_SUBJECT_BOARD)
    taken->doubt = bl_subject_doubt (self->subjects, self->chosen, taken->board_number, taken->edition);
  taken->customer = g_strdup (bl_take_in_form_get (self, BL_CODE_CUSTOMER));
  taken->unit = g_strdup (bl_take_in_form_get (self, BL_CODE_UNIT));
  taken->serial = g_strdup (bl_take_in_form_get (self, BL_CODE_SERIAL));
  taken->came_with = g_strdup (bl_take_in_form_get (self, BL_FIELD_CAME_WITH));
  taken->complaint = gtk_text_buffer_get_text (words, &from, &to, FALSE);
  taken->symptom = g_strdup (self->symptom_id);
  taken->known_good = gtk_widget_get_visible (self->good) && gtk_check_button_get_active (GTK_CHECK_BUTTON (self->good));
  taken->return_of = self->return_of;
  for (guint i = 0; i < self->photos->len; i++)
    {
      const BlTakenPhoto *photo = bl_at (self->photos, i);
      g_ptr_array_add (taken->photos, bl_taken_photo_new (photo->title, photo->mime, photo->image, photo->thumbnail));
    }
  return taken;
}
