// Holds nothing: the target of this name carries the headers parsed once for all rooms.
