/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>

G_BEGIN_DECLS

/* A whole number from 0 up of any size, lowest 32 bits first. Zero-filled is the number 0. */
typedef struct
{
  guint32 *limbs; /* owned */
  guint n;        /* the highest limb is not 0 */
} BlCount;

void bl_count_clear (BlCount *count);
/* Takes the value of width limbs. */
void bl_count_set (BlCount *count, const guint32 *limbs, guint width);
/* Base-2 logarithm, rounded; -INFINITY for 0. */
double bl_count_bits (const BlCount *count);
/* Decimal digits. Returns: (transfer full). */
char *bl_count_to_string (const BlCount *count);

/* Arithmetic on numbers of fixed width; what would not fit is lost, so the caller chooses width. */
void bl_limbs_add (guint32 *sum, const guint32 *more, guint width);
/* sum += with x factor (NULL: 1). */
void bl_limbs_add_product (guint32 *sum, const guint32 *with, guint width, const BlCount *factor);

G_END_DECLS
