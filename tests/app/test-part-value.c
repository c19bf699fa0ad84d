/* SPDX-License-Identifier: GPL-3.0-or-later
 * What a component's value says below its field: while it is typed, its other meanings, its bands of
 * colour by keys, and nothing where there is nothing to say. Needs a display. */
#undef G_DISABLE_ASSERT
#include "config.h"

#include <adwaita.h>
#include <glib/gstdio.h>
#include <string.h>

#include "bl-document.h"
#include "bl-editor-private.h"
#include "bl-part-value.h"
#include "bl-ring-picker.h"
#include "bl-slot-field.h"
#include "bl-style.h"

typedef struct
{
  char *folder, *path;
  BlLibrary *library;
  GtkWidget *window, *editor;
} Fixture;

static void
settle (void)
{
  for (int i = 0; i < 20; i++)
    while (g_main_context_iteration (NULL, FALSE))
      ;
}

static const char document[]
  = "{\"format\": \"benchlore-board\", \"version\": 1, \"states\": [{\"id\": \"off\"}],"
    " \"sections\": [{\"id\": \"s\"}], \"stages\": [{\"id\": \"a\", \"section\": \"s\"}],"
    " \"components\": [{\"id\": \"R1\", \"kind\": \"resistor\", \"value\": \"103\", \"stage\": \"a\"},"
    "                  {\"id\": \"K1\", \"kind\": \"relay\", \"value\": \"12 V 360 ohm\", \"stage\": \"a\"}]}";

static void
set_up (Fixture *fixture, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlBoard) board = bl_document_parse (document, -1, NULL, &error);
  gint64 id;

  g_assert_no_error (error);
  fixture->folder = g_dir_make_tmp ("part-value-XXXXXX", &error);
  g_assert_no_error (error);
  fixture->path = g_build_filename (fixture->folder, "value.benchlore-library", NULL);
  fixture->library = bl_library_open (fixture->path, TRUE, &error);
  g_assert_no_error (error);
  id = bl_library_add_board (fixture->library, board, FALSE, &error);
  g_assert_no_error (error);
  fixture->window = gtk_window_new ();
  bl_style_dress (fixture->window);
  fixture->editor = bl_editor_new (fixture->library);
  gtk_window_set_child (GTK_WINDOW (fixture->window), fixture->editor);
  gtk_window_set_default_size (GTK_WINDOW (fixture->window), 1280, 740);
  gtk_window_present (GTK_WINDOW (fixture->window));
  g_assert_true (bl_editor_open (BL_EDITOR (fixture->editor), id, &error));
  settle ();
}

static void
tear_down (Fixture *fixture, gconstpointer unused)
{
  GtkWidget *editor = g_object_ref (fixture->editor);

  gtk_window_destroy (GTK_WINDOW (fixture->window));
  settle ();
  g_assert_finalize_object (editor);
  bl_library_close (fixture->library);
  g_unlink (fixture->path);
  g_rmdir (fixture->folder);
  g_free (fixture->path);
  g_free (fixture->folder);
}

/* The first widget of a type below widget that is shown. */
static GtkWidget *
find (GtkWidget *widget, GType type)
{
  if (g_type_is_a (G_OBJECT_TYPE (widget), type))
    return widget;
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child != NULL;
       child = gtk_widget_get_next_sibling (child))
    {
      GtkWidget *found = gtk_widget_get_visible (child) ? find (child, type) : NULL;
      if (found != NULL)
        return found;
    }
  return NULL;
}

static gboolean
says (GtkWidget *widget, const char *words)
{
  if (!gtk_widget_get_visible (widget))
    return FALSE;
  if (GTK_IS_LABEL (widget) && strstr (gtk_label_get_label (GTK_LABEL (widget)), words) != NULL)
    return TRUE;
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child != NULL;
       child = gtk_widget_get_next_sibling (child))
    if (says (child, words))
      return TRUE;
  return FALSE;
}

/* The button below widget with these words on it. */
static GtkWidget *
button (GtkWidget *widget, const char *words)
{
  if (GTK_IS_BUTTON (widget) && says (widget, words))
    return widget;
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child != NULL;
       child = gtk_widget_get_next_sibling (child))
    {
      GtkWidget *found = button (child, words);
      if (found != NULL)
        return found;
    }
  return NULL;
}

static GtkWidget *
find_slot (GtkWidget *widget, BlSlot slot)
{
  if (BL_IS_SLOT_FIELD (widget))
    return bl_slot_field_get_slot (BL_SLOT_FIELD (widget)) == slot ? widget : NULL;
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child != NULL;
       child = gtk_widget_get_next_sibling (child))
    {
      GtkWidget *found = find_slot (child, slot);
      if (found != NULL)
        return found;
    }
  return NULL;
}

static GtkWidget *
go_to (Fixture *fixture, const char *component)
{
  BlRef ref = bl_ref (BL_ELEMENT_COMPONENT, component);
  GtkWidget *value;

  bl_editor_go_to (BL_EDITOR (fixture->editor), &ref);
  settle ();
  value = find (BL_EDITOR (fixture->editor)->hand, BL_TYPE_PART_VALUE);
  return value;
}

static void
type (Fixture *fixture, const char *text)
{
  GtkWidget *field = find_slot (BL_EDITOR (fixture->editor)->hand, BL_SLOT_VALUE);

  gtk_editable_set_text (GTK_EDITABLE (gtk_widget_get_first_child (gtk_widget_get_first_child (field))), text);
  settle ();
}

static const char *
value_of (Fixture *fixture, const char *component)
{
  return bl_board_component (bl_edition_get_board (BL_EDITOR (fixture->editor)->edition), component)->value;
}

static void
test_live (Fixture *fixture, gconstpointer unused)
{
  GtkWidget *value = go_to (fixture, "R1");

  g_assert_nonnull (value);
  g_assert_true (says (value, "10 kΩ") && says (value, "103 Ω"));
  type (fixture, "4K7J");
  g_assert_true (says (value, "4.7 kΩ ±5 %") && says (value, "E24 value") && !says (value, "103 Ω"));
  type (fixture, "4K8");
  g_assert_true (says (value, "not a standard value; nearest 4.7 kΩ (E24)"));
  type (fixture, "4K");
  g_assert_true (says (value, "4 kΩ"));
  type (fixture, "nothing known");
  g_assert_true (says (value, "a resistor is written like"));
  type (fixture, "");
  g_assert_false (says (value, "Ω"));
  g_assert_cmpstr (value_of (fixture, "R1"), ==, "103"); /* nothing of it was kept */
}

static void
test_choose (Fixture *fixture, gconstpointer unused)
{
  GtkWidget *value = go_to (fixture, "R1"), *other = button (value, "take 103R");

  g_assert_nonnull (other);
  g_signal_emit_by_name (other, "clicked");
  settle ();
  g_assert_cmpstr (value_of (fixture, "R1"), ==, "103R");
  value = go_to (fixture, "R1");
  g_assert_true (says (value, "103 Ω") && says (value, "not a standard value"));
}

static void
test_nothing_to_say (Fixture *fixture, gconstpointer unused)
{
  g_assert_null (go_to (fixture, "K1")); /* there, but not shown */
}

static void
test_bands (Fixture *fixture, gconstpointer unused)
{
  static const BlRing wrong_way[] = { BL_RING_GOLD, BL_RING_RED, BL_RING_VIOLET, BL_RING_YELLOW };
  GtkWidget *value = go_to (fixture, "R1"), *picker;
  const BlRing *rings;
  guint n;

  bl_part_value_show_bands (BL_PART_VALUE (value), TRUE);
  settle ();
  picker = find (value, BL_TYPE_RING_PICKER);
  g_assert_nonnull (picker);
  rings = bl_ring_picker_get (BL_RING_PICKER (picker), &n);
  g_assert_cmpuint (n, ==, 4); /* of 10 kΩ, at 5 % */
  g_assert_true (rings[0] == BL_RING_BROWN && rings[1] == BL_RING_BLACK && rings[2] == BL_RING_ORANGE);
  g_assert_true (rings[3] == BL_RING_GOLD);
  g_assert_true (says (picker, "orange ×1k") && says (picker, "gold ±5 %"));
  bl_ring_picker_set (BL_RING_PICKER (picker), wrong_way, 4);
  g_signal_emit_by_name (picker, "changed");
  settle ();
  g_assert_true (says (value, "from the other end"));
  g_signal_emit_by_name (button (value, "take 4K7 5%"), "clicked");
  settle ();
  g_assert_cmpstr (value_of (fixture, "R1"), ==, "4K7 5%");
  g_assert_true (bl_ring_picker_has (find (picker, GTK_TYPE_BUTTON)));
  g_assert_false (bl_ring_picker_has (NULL));
}

int
main (int argc, char *argv[])
{
  g_test_init (&argc, &argv, NULL);
  if (!gtk_init_check ())
    {
      g_print ("1..0 # SKIP no display\n");
      return 0;
    }
  adw_init ();
  bl_style_install ();
  g_object_set (gtk_settings_get_default (), "gtk-enable-animations", FALSE, NULL);
#define ADD(name, function) g_test_add (name, Fixture, NULL, set_up, function, tear_down)
  ADD ("/app/part-value/live", test_live);
  ADD ("/app/part-value/choose", test_choose);
  ADD ("/app/part-value/nothing-to-say", test_nothing_to_say);
  ADD ("/app/part-value/bands", test_bands);
  return g_test_run ();
}
