/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The address of a job. The scheme is our own; what follows it has no authority and no query, so it stays what it is
 * through every program that hands it on (RFC 3986, section 3). A uid is 32 hexadecimal digits.
 *
 * A hand scanner types what it reads, by a keyboard layout that is often not the computer's, and with Caps Lock where
 * that is on: letters come in the other case, and the signs between them as whatever stands on that key. The letters
 * of an address hold no Y or Z, which is what most layouts exchange; so any one sign is taken for each of the two signs.
 * Layouts that exchange other letters or digits are not guessed. */
#include "config.h"

#include "bl-job-link.h"

#include <string.h>

#define SCHEME "benchlore"
#define PLACE "job"
#define UID_LENGTH 32

char *
bl_job_link (const char *uid)
{
  g_return_val_if_fail (uid != NULL, NULL);
  return g_strdup_printf (SCHEME ":" PLACE "/%s", uid);
}

/* Past word, in either case; NULL: it does not stand there. */
static const char *
pass_word (const char *at, const char *word)
{
  gsize length = strlen (word);
  return at != NULL && g_ascii_strncasecmp (at, word, length) == 0 ? at + length : NULL;
}

/* Past one sign that is neither a letter nor a digit of the basic set. */
static const char *
pass_sign (const char *at)
{
  if (at == NULL || g_ascii_isalnum (*at))
    return NULL;
  if (((guchar) *at & 0x80) != 0)
    return g_utf8_validate (at, -1, NULL) ? g_utf8_next_char (at) : NULL;
  return *at > ' ' ? at + 1 : NULL;
}

char *
bl_job_link_parse (const char *text)
{
  g_autofree char *all = g_strstrip (g_strdup (text != NULL ? text : ""));
  const char *uid = pass_sign (pass_word (pass_sign (pass_word (all, SCHEME)), PLACE));

  if (uid == NULL || strlen (uid) != UID_LENGTH || strspn (uid, "0123456789abcdefABCDEF") != UID_LENGTH)
    return NULL;
  return g_ascii_strdown (uid, -1);
}
