"""Where work runs that falls into tasks: processes of this machine, or a cluster's."""
