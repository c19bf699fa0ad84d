/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a code says. The standards come first, since they leave nothing to guess: our own label; GS1 (bl-gs1.c); ISO/IEC
 * 15434 envelopes in format 06 with the data identifiers of ANSI MH10.8.2 (from memory: S serial, 1P and P part number,
 * 2P its revision level, 1T lot, 9D and 10D date, V supplier), as they stand on electronic boards, and format 05, which
 * is GS1 again. What else has several parts (lines, or parts between ';', '|' and tabs) is split there, and names
 * before ':' or '=' are looked up in a short list of what makers write. Anything else is one value, and since most bare
 * codes on a board are its serial number, that is what it is offered as. The person decides. */
#include "config.h"

#include "bl-code-text.h"

#include <string.h>

#include "bl-gs1.h"
#include "bl-job-link.h"

#define ENVELOPE "[)>"
#define RECORD '\x1e'

typedef struct
{
  const char *name;
  BlCodeField field;
} Named;

static const Named ais[] = {
  { "21", BL_CODE_SERIAL },        { "250", BL_CODE_SERIAL },  { "8011", BL_CODE_SERIAL }, { "240", BL_CODE_BOARD_NUMBER },
  { "241", BL_CODE_BOARD_NUMBER }, { "20", BL_CODE_EDITION },  { "22", BL_CODE_EDITION },  { "8004", BL_CODE_SERIAL },
  { "8010", BL_CODE_BOARD_NUMBER }, { "01", BL_CODE_UNIT },
};

static const Named identifiers[] = {
  { "S", BL_CODE_SERIAL }, { "1P", BL_CODE_BOARD_NUMBER }, { "P", BL_CODE_BOARD_NUMBER }, { "2P", BL_CODE_EDITION },
};

/* Small letters and digits only. */
static const Named names[] = {
  { "sn", BL_CODE_SERIAL },         { "ser", BL_CODE_SERIAL },         { "serno", BL_CODE_SERIAL },
  { "serial", BL_CODE_SERIAL },     { "serialno", BL_CODE_SERIAL },    { "serialnumber", BL_CODE_SERIAL },
  { "pn", BL_CODE_BOARD_NUMBER },   { "part", BL_CODE_BOARD_NUMBER },  { "partno", BL_CODE_BOARD_NUMBER },
  { "partnumber", BL_CODE_BOARD_NUMBER }, { "board", BL_CODE_BOARD_NUMBER }, { "pcb", BL_CODE_BOARD_NUMBER },
  { "rev", BL_CODE_EDITION },       { "revision", BL_CODE_EDITION },   { "ed", BL_CODE_EDITION },
  { "edition", BL_CODE_EDITION },   { "model", BL_CODE_UNIT },         { "mod", BL_CODE_UNIT },
  { "type", BL_CODE_UNIT },         { "unit", BL_CODE_UNIT },          { "customer", BL_CODE_CUSTOMER },
};

void
bl_code_part_free (BlCodePart *part)
{
  if (part == NULL)
    return;
  g_free (part->label);
  g_free (part->value);
  g_free (part);
}

void
bl_code_text_free (BlCodeText *self)
{
  if (self == NULL)
    return;
  g_free (self->job);
  g_free (self->trouble);
  g_clear_pointer (&self->parts, g_ptr_array_unref);
  g_free (self);
}

static BlCodeField
look_up (const Named *list, guint n, const char *name)
{
  for (guint i = 0; i < n; i++)
    if (g_str_equal (list[i].name, name))
      return list[i].field;
  return BL_CODE_OTHER;
}

static BlCodeField
look_up_name (const char *name)
{
  g_autoptr (GString) plain = g_string_new (NULL);

  for (const char *at = name; *at != '\0'; at++)
    if (g_ascii_isalnum (*at))
      g_string_append_c (plain, g_ascii_tolower (*at));
  return look_up (names, G_N_ELEMENTS (names), plain->str);
}

/* A field is offered once: what comes later of the same stays beside it. */
static void
add_part (BlCodeText *self, BlCodeField field, const char *label, const char *value)
{
  BlCodePart *part = g_new0 (BlCodePart, 1);

  for (guint i = 0; i < self->parts->len; i++)
    if (((const BlCodePart *) g_ptr_array_index (self->parts, i))->field == field)
      field = BL_CODE_OTHER;
  part->field = field;
  part->label = g_strdup (label);
  part->value = g_strstrip (g_strdup (value));
  g_ptr_array_add (self->parts, part);
}

static gboolean
read_gs1 (BlCodeText *self, const char *text, GError **error)
{
  g_autoptr (GPtrArray) fields = bl_gs1_parse (text, error);

  for (guint i = 0; fields != NULL && i < fields->len; i++)
    {
      const BlGs1Field *field = g_ptr_array_index (fields, i);
      add_part (self, look_up (ais, G_N_ELEMENTS (ais), field->ai), field->title, field->value);
    }
  return fields != NULL;
}

/* "06", then fields that begin with an identifier: digits, if any, and one letter. */
static void
read_identifiers (BlCodeText *self, const char *text)
{
  g_auto (GStrv) fields = g_strsplit (text, "\x1d", -1);

  for (guint i = 0; fields[i] != NULL; i++)
    {
      gsize digits = strspn (fields[i], "0123456789");
      if (!g_ascii_isupper (fields[i][digits]))
        continue;
      g_autofree char *name = g_strndup (fields[i], digits + 1);
      if (fields[i][digits + 1] != '\0')
        add_part (self, look_up (identifiers, G_N_ELEMENTS (identifiers), name), name, fields[i] + digits + 1);
    }
}

static gboolean
read_envelope (BlCodeText *self, const char *text, GError **error)
{
  const char *format = text + strlen (ENVELOPE) + (text[strlen (ENVELOPE)] == RECORD ? 1 : 0);
  const char *rest = strlen (format) > 3 ? format + 3 : "";
  g_autofree char *body = g_strndup (rest, strcspn (rest, "\x1e\x04"));

  if (g_str_has_prefix (format, "05"))
    return read_gs1 (self, body, error);
  if (g_str_has_prefix (format, "06"))
    read_identifiers (self, body);
  return TRUE;
}

/* --- no standard --- */

static gboolean
looks_like_name (const char *text, gsize length)
{
  return length > 0 && length <= 20 && g_ascii_isalpha (*text);
}

static void
read_piece (BlCodeText *self, const char *piece)
{
  gsize length = strcspn (piece, ":=");
  g_autofree char *name = g_strstrip (g_strndup (piece, length));

  if (piece[length] != '\0' && looks_like_name (name, strlen (name)) && !g_str_has_prefix (piece + length, "://"))
    add_part (self, look_up_name (name), name, piece + length + 1);
  else
    add_part (self, BL_CODE_OTHER, "", piece);
}

static void
read_pieces (BlCodeText *self, const char *text)
{
  g_auto (GStrv) pieces = g_strsplit_set (text, "\r\n\t;|\x1d\x1e", -1);

  for (guint i = 0; pieces[i] != NULL; i++)
    {
      g_strstrip (pieces[i]);
      if (*pieces[i] != '\0')
        read_piece (self, pieces[i]);
    }
  /* One value without a name. An address is somebody's page, and no number. */
  if (self->parts->len == 1)
    {
      BlCodePart *part = g_ptr_array_index (self->parts, 0);
      if (*part->label == '\0' && self->trouble == NULL && strstr (part->value, "://") == NULL)
        part->field = BL_CODE_SERIAL;
    }
}

BlCodeText *
bl_code_text_read (const char *text)
{
  g_return_val_if_fail (text != NULL, NULL);
  g_autofree char *all = g_strstrip (g_utf8_make_valid (text, -1));
  g_autoptr (BlCodeText) self = g_new0 (BlCodeText, 1);
  g_autoptr (GError) error = NULL;

  if (*all == '\0')
    return NULL;
  self->parts = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_code_part_free);
  self->job = bl_job_link_parse (all);
  if (self->job != NULL)
    return g_steal_pointer (&self);
  if (g_str_has_prefix (all, ENVELOPE))
    read_envelope (self, all, &error);
  else if (bl_gs1_is_element_string (all))
    read_gs1 (self, all, &error);
  if (error != NULL)
    {
      g_ptr_array_set_size (self->parts, 0);
      self->trouble = g_strdup (error->message);
    }
  if (self->parts->len == 0)
    read_pieces (self, all);
  if (self->parts->len == 0)
    add_part (self, BL_CODE_OTHER, "", all);
  return g_steal_pointer (&self);
}
