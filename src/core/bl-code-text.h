/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>

G_BEGIN_DECLS

/* What the text of a barcode or QR code means at taking in. */

typedef enum
{
  BL_CODE_OTHER, /* nothing that is asked for; may be put anywhere */
  BL_CODE_SERIAL,
  BL_CODE_BOARD_NUMBER,
  BL_CODE_EDITION,
  BL_CODE_UNIT,
  BL_CODE_CUSTOMER,
  BL_N_CODE_FIELDS
} BlCodeField;

typedef struct
{
  BlCodeField field; /* where it most likely goes; each but OTHER once in a text */
  char *label;       /* what the code calls it: "SERIAL", "S/N"; "" where it says nothing */
  char *value;
} BlCodePart;
void bl_code_part_free (BlCodePart *part);

typedef struct
{
  char *job;        /* uid of a job, from our own label; NULL: none, and then there are parts */
  GPtrArray *parts; /* BlCodePart, at least one */
  char *trouble;    /* it says that it is one of the standards, and is not; NULL: nothing */
} BlCodeText;
void bl_code_text_free (BlCodeText *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BlCodeText, bl_code_text_free)

/* Reads the text: our label, GS1 element strings, ISO/IEC 15434 with data identifiers, pairs of names and values, or a
 * serial number alone. NULL: there is nothing but blanks in it. (transfer full) */
BlCodeText *bl_code_text_read (const char *text);

G_END_DECLS
