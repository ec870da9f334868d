"""The settings of a server that has a newer version of the app at the machine: the files in NEWER_APP go first."""

import os

from coldmark.project.settings import *  # noqa: F403 -- all of them but one

STATICFILES_DIRS = [os.environ.get("NEWER_APP", "")]
