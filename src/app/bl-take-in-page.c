/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The counter, as a page: fields at the left, what is seen at the right, two ways to end it at the foot. After taking in
 * the same page shows the label (bl-take-in-tag.c), which is printed now or never; the next one begins an empty form. */
#include "config.h"

#include <adwaita.h>
#include <glib/gi18n-lib.h>

#include "bl-job-tag-action.h"
#include "bl-style.h"
#include "bl-take-in-private.h"

G_DEFINE_FINAL_TYPE (BlTakeInPage, bl_take_in_page, GTK_TYPE_WIDGET)

enum
{
  LEFT,
  TAKEN,
  OPEN,
  N_SIGNALS
};
static guint signals[N_SIGNALS];

/* --- taking in --- */

static void
show_taken (BlTakeInPage *self, const BlJob *job)
{
  g_autofree char *title = g_strdup_printf (_ ("Job %d is taken in"), job->number);

  gtk_label_set_label (GTK_LABEL (self->taken_title), title);
  gtk_label_set_label (GTK_LABEL (self->taken_words), job->board_name);
  gtk_stack_set_visible_child_name (GTK_STACK (self->stack), "taken");
  bl_take_in_tag_show (self);
  gtk_widget_grab_focus (g_object_get_data (G_OBJECT (self->stack), "first"));
}

static gboolean
number_holds (BlTakeInPage *self)
{
  const char *number = bl_take_in_form_get (self, BL_FIELD_NUMBER);

  if (strspn (number, "0123456789") == strlen (number) && strlen (number) < 10)
    return TRUE;
  bl_take_in_form_say (self, _ ("A job's number has digits alone."));
  gtk_widget_grab_focus (GTK_WIDGET (self->fields[BL_FIELD_NUMBER]));
  return FALSE;
}

static void
take_in (BlTakeInPage *self, gboolean on_bench)
{
  g_autoptr (BlTakeIn) taken = bl_take_in_form_collect (self);
  g_autoptr (GError) error = NULL;

  if (!number_holds (self))
    return;
  taken->on_bench = on_bench;
  gint64 id = bl_take_in_keep (taken, self->library, &error);
  g_autoptr (BlJob) job = id != 0 ? bl_library_load_job (self->library, id, &error) : NULL;
  if (job == NULL)
    {
      g_autofree char *text = g_strdup_printf (_ ("The job was not taken in: %s"), error->message);
      bl_take_in_form_say (self, text);
      return;
    }
  self->taken = id;
  bl_take_in_form_clear (self);
  bl_take_in_beside_clear (self);
  g_signal_emit (self, signals[TAKEN], 0, id);
  if (on_bench)
    g_signal_emit (self, signals[OPEN], 0, id);
  else
    show_taken (self, job);
}

static void
take_to_wait (BlTakeInPage *self)
{
  take_in (self, FALSE);
}

static void
take_to_bench (BlTakeInPage *self)
{
  if (self->taken != 0)
    g_signal_emit (self, signals[OPEN], 0, self->taken);
  else
    take_in (self, TRUE);
}

static void
print_label (BlTakeInPage *self)
{
  if (self->taken != 0)
    bl_job_tag_print (GTK_WIDGET (self), self->library, self->taken);
}

static void
leave (BlTakeInPage *self)
{
  g_signal_emit (self, signals[LEFT], 0);
}

static void
begin_anew (BlTakeInPage *self)
{
  self->taken = 0;
  gtk_stack_set_visible_child_name (GTK_STACK (self->stack), "form");
  bl_take_in_form_clear (self);
  bl_take_in_beside_clear (self);
  bl_take_in_form_read (self);
  gtk_widget_grab_focus (GTK_WIDGET (self->fields[BL_CODE_BOARD_NUMBER]));
}

void
bl_take_in_page_enter (BlTakeInPage *self)
{
  g_return_if_fail (BL_IS_TAKE_IN_PAGE (self));

  if (self->taken != 0)
    {
      begin_anew (self);
      return;
    }
  bl_take_in_form_read (self);
  /* Who comes back to a form begun finds the focus where it was. */
  if (*bl_take_in_form_get (self, BL_CODE_BOARD_NUMBER) == '\0')
    gtk_widget_grab_focus (GTK_WIDGET (self->fields[BL_CODE_BOARD_NUMBER]));
}

/* --- keys --- */

static gboolean
in_board (BlTakeInPage *self)
{
  GtkRoot *root = gtk_widget_get_root (GTK_WIDGET (self));
  GtkWidget *focus = root != NULL ? gtk_root_get_focus (root) : NULL;

  return focus != NULL
         && (gtk_widget_is_ancestor (focus, GTK_WIDGET (self->fields[BL_CODE_BOARD_NUMBER]))
             || gtk_widget_is_ancestor (focus, GTK_WIDGET (self->fields[BL_CODE_EDITION])));
}

static const struct
{
  guint key;
  GdkModifierType modifiers;
  gboolean form, taken; /* where it works */
  void (*act) (BlTakeInPage *self);
  const char *cap, *words; /* at the foot; NULL: shown elsewhere */
} keys[] = {
  { GDK_KEY_Return, GDK_CONTROL_MASK, TRUE, FALSE, take_to_wait, NULL, NULL },
  { GDK_KEY_KP_Enter, GDK_CONTROL_MASK, TRUE, FALSE, take_to_wait, NULL, NULL },
  { GDK_KEY_Return, GDK_CONTROL_MASK | GDK_SHIFT_MASK, TRUE, TRUE, take_to_bench, NULL, NULL },
  { GDK_KEY_KP_Enter, GDK_CONTROL_MASK | GDK_SHIFT_MASK, TRUE, TRUE, take_to_bench, NULL, NULL },
  { GDK_KEY_l, GDK_CONTROL_MASK | GDK_SHIFT_MASK, FALSE, TRUE, print_label, NULL, NULL },
  { GDK_KEY_F12, 0, TRUE, FALSE, bl_take_in_toggle_camera, N_ ("F12"), N_ ("read a code by camera") },
  { GDK_KEY_i, GDK_CONTROL_MASK, TRUE, FALSE, bl_take_in_choose_photos, N_ ("Ctrl I"), N_ ("add photos") },
  { GDK_KEY_r, GDK_ALT_MASK, TRUE, FALSE, bl_take_in_toggle_return, N_ ("Alt R"), N_ ("returned from the job found") },
  { GDK_KEY_BackSpace, GDK_CONTROL_MASK | GDK_SHIFT_MASK, TRUE, FALSE, begin_anew, N_ ("Ctrl Shift Backspace"),
    N_ ("empty the form") },
  { GDK_KEY_Escape, 0, TRUE, TRUE, leave, N_ ("Esc"), N_ ("leave it for later") },
};

/* Sizes of the label and what stands on it, as bl_take_in_tag_choose () counts them. */
#define TAG_KEYS "1234cw"

static gboolean
key_pressed (GtkEventControllerKey *controller, guint keyval, guint keycode, GdkModifierType state, BlTakeInPage *self)
{
  GdkModifierType modifiers = state & (GDK_CONTROL_MASK | GDK_SHIFT_MASK | GDK_ALT_MASK);
  guint lower = gdk_keyval_to_lower (keyval);

  for (guint i = 0; i < G_N_ELEMENTS (keys); i++)
    if (keys[i].key == lower && keys[i].modifiers == modifiers && (self->taken != 0 ? keys[i].taken : keys[i].form))
      {
        keys[i].act (self);
        return GDK_EVENT_STOP;
      }
  const char *which = modifiers == 0 && self->taken != 0 && lower < 0x80 ? strchr (TAG_KEYS, (int) lower) : NULL;
  if (which != NULL && *which != '\0')
    {
      bl_take_in_tag_choose (self, (int) (which - TAG_KEYS));
      return GDK_EVENT_STOP;
    }
  if (modifiers == 0 && (lower == GDK_KEY_Up || lower == GDK_KEY_Down) && self->taken == 0 && in_board (self))
    {
      bl_take_in_form_step (self, lower == GDK_KEY_Up ? -1 : 1);
      return GDK_EVENT_STOP;
    }
  return GDK_EVENT_PROPAGATE;
}

static GtkWidget *
key_strip (void)
{
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 6);
  static const char *const first[][2] = { { N_ ("Enter"), N_ ("next field") }, { N_ ("↑ ↓"), N_ ("which board") } };

  for (guint i = 0; i < G_N_ELEMENTS (first) + G_N_ELEMENTS (keys); i++)
    {
      const char *cap = i < G_N_ELEMENTS (first) ? first[i][0] : keys[i - G_N_ELEMENTS (first)].cap;
      const char *what = i < G_N_ELEMENTS (first) ? first[i][1] : keys[i - G_N_ELEMENTS (first)].words;
      if (cap == NULL)
        continue;
      GtkWidget *words = bl_label (_ (what), NULL, 0);
      gtk_box_append (GTK_BOX (box), bl_key_cap (_ (cap)));
      gtk_widget_set_margin_end (words, 8);
      gtk_box_append (GTK_BOX (box), words);
    }
  gtk_widget_add_css_class (box, "key-strip");
  return box;
}

/* --- the two views --- */

static GtkWidget *
act (BlTakeInPage *self, const char *css, const char *words, const char *cap, GCallback call)
{
  GtkWidget *button = bl_act_button (css, words, cap, FALSE);

  g_signal_connect_swapped (button, "clicked", call, self);
  return button;
}

static GtkWidget *
head_new (BlTakeInPage *self)
{
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 12), *hint;

  gtk_box_append (GTK_BOX (box), bl_label (_ ("Take in job"), "page-title", 0));
  gtk_widget_add_css_class (GTK_WIDGET (self->fields[BL_FIELD_NUMBER]), "job-number");
  gtk_box_append (GTK_BOX (box), GTK_WIDGET (self->fields[BL_FIELD_NUMBER]));
  hint = bl_label (_ ("A board or a photo is enough; the rest can wait."), "muted", 0);
  gtk_label_set_ellipsize (GTK_LABEL (hint), PANGO_ELLIPSIZE_END);
  gtk_widget_set_hexpand (hint, TRUE);
  gtk_box_append (GTK_BOX (box), hint);
  gtk_box_append (GTK_BOX (box), act (self, "plain", _ ("to the bench at once"), _ ("Ctrl Shift Enter"),
                                      G_CALLBACK (take_to_bench)));
  gtk_box_append (GTK_BOX (box), act (self, "firm", _ ("Take in"), _ ("Ctrl Enter"), G_CALLBACK (take_to_wait)));
  return box;
}

static GtkWidget *
taken_new (BlTakeInPage *self)
{
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 12), *acts = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 12);
  GtkWidget *label = act (self, "firm", _ ("Print the label"), _ ("Ctrl Shift L"), G_CALLBACK (print_label));

  self->taken_title = bl_label ("", "page-title", 0);
  self->taken_words = bl_label ("", "muted", 0);
  g_object_set_data (G_OBJECT (self->stack), "first", label);
  gtk_box_append (GTK_BOX (acts), label);
  gtk_box_append (GTK_BOX (acts), act (self, "plain", _ ("to the bench"), _ ("Ctrl Shift Enter"),
                                       G_CALLBACK (take_to_bench)));
  gtk_box_append (GTK_BOX (acts), act (self, "plain", _ ("next job"), _ ("Ctrl N"), G_CALLBACK (begin_anew)));
  gtk_box_append (GTK_BOX (acts), act (self, "plain", _ ("back"), _ ("Esc"), G_CALLBACK (leave)));
  gtk_box_append (GTK_BOX (box), self->taken_title);
  gtk_box_append (GTK_BOX (box), self->taken_words);
  gtk_box_append (GTK_BOX (box), bl_take_in_tag_new (self));
  gtk_box_append (GTK_BOX (box), bl_label (_ ("Scanned again, the code opens the job: in the search of Jobs, in the free "
                                              "entry of the Bench, or by the camera."), "muted", 0));
  gtk_box_append (GTK_BOX (box), acts);
  gtk_widget_set_halign (box, GTK_ALIGN_CENTER);
  gtk_widget_set_valign (box, GTK_ALIGN_CENTER);
  return box;
}

static GtkWidget *
form_new (BlTakeInPage *self)
{
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 12), *body = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 28);
  GtkWidget *form = bl_take_in_form_new (self), *beside = bl_take_in_beside_new (self);
  GtkWidget *all = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0), *clamp = adw_clamp_new ();

  gtk_widget_set_hexpand (form, TRUE);
  gtk_widget_set_size_request (beside, 380, -1);
  gtk_box_append (GTK_BOX (body), form);
  gtk_box_append (GTK_BOX (body), beside);
  gtk_widget_set_vexpand (body, TRUE);
  gtk_box_append (GTK_BOX (box), head_new (self));
  gtk_box_append (GTK_BOX (box), body);
  gtk_widget_set_margin_start (box, 24);
  gtk_widget_set_margin_end (box, 24);
  gtk_widget_set_margin_top (box, 14);
  gtk_widget_set_margin_bottom (box, 10);
  adw_clamp_set_maximum_size (ADW_CLAMP (clamp), 1400);
  adw_clamp_set_tightening_threshold (ADW_CLAMP (clamp), 1400);
  adw_clamp_set_child (ADW_CLAMP (clamp), box);
  gtk_box_append (GTK_BOX (all), clamp);
  gtk_box_append (GTK_BOX (all), key_strip ());
  return all;
}

/* --- object --- */

static void
bl_take_in_page_dispose (GObject *object)
{
  BlTakeInPage *self = BL_TAKE_IN_PAGE (object);

  g_cancellable_cancel (self->reading);
  g_clear_object (&self->reading);
  g_clear_object (&self->chooser);
  g_clear_pointer (&self->stack, gtk_widget_unparent);
  G_OBJECT_CLASS (bl_take_in_page_parent_class)->dispose (object);
}

static void
bl_take_in_page_finalize (GObject *object)
{
  BlTakeInPage *self = BL_TAKE_IN_PAGE (object);

  g_clear_pointer (&self->matching, g_ptr_array_unref);
  g_clear_pointer (&self->subjects, g_ptr_array_unref);
  g_clear_pointer (&self->symptoms, g_ptr_array_unref);
  g_clear_pointer (&self->earlier, g_ptr_array_unref);
  g_clear_pointer (&self->photos, g_ptr_array_unref);
  g_clear_pointer (&self->code, bl_code_text_free);
  g_free (self->symptom_id);
  G_OBJECT_CLASS (bl_take_in_page_parent_class)->finalize (object);
}

static void
bl_take_in_page_class_init (BlTakeInPageClass *klass)
{
  G_OBJECT_CLASS (klass)->dispose = bl_take_in_page_dispose;
  G_OBJECT_CLASS (klass)->finalize = bl_take_in_page_finalize;
  gtk_widget_class_set_layout_manager_type (GTK_WIDGET_CLASS (klass), GTK_TYPE_BIN_LAYOUT);
  signals[LEFT] = g_signal_new ("left", BL_TYPE_TAKE_IN_PAGE, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
  signals[TAKEN] = g_signal_new ("taken", BL_TYPE_TAKE_IN_PAGE, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 1,
                                 G_TYPE_INT64);
  signals[OPEN] = g_signal_new ("open", BL_TYPE_TAKE_IN_PAGE, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 1,
                                G_TYPE_INT64);
}

static void
bl_take_in_page_init (BlTakeInPage *self)
{
  GtkEventController *controller = gtk_event_controller_key_new ();

  self->stack = gtk_stack_new ();
  gtk_widget_set_parent (self->stack, GTK_WIDGET (self));
  gtk_stack_add_named (GTK_STACK (self->stack), form_new (self), "form");
  gtk_stack_add_named (GTK_STACK (self->stack), taken_new (self), "taken");
  gtk_event_controller_set_propagation_phase (controller, GTK_PHASE_CAPTURE);
  g_signal_connect (controller, "key-pressed", G_CALLBACK (key_pressed), self);
  gtk_widget_add_controller (GTK_WIDGET (self), controller);
}

GtkWidget *
bl_take_in_page_new (BlLibrary *library)
{
  BlTakeInPage *self = g_object_new (BL_TYPE_TAKE_IN_PAGE, NULL);

  self->library = library;
  return GTK_WIDGET (self);
}
