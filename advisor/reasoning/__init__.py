"""From facts to advice: rules fire stratum by stratum, conflicts are settled between strata."""
