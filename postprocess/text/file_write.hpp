// One file to disk, with every error noticed.
#pragma once
#include <string>

namespace raybend {

/// Writes and flushes to the medium; throws std::runtime_error in words for people (disk full, no
/// permission), leaving no half file. An existing file is overwritten.
void write_file(const std::string &path, const std::string &content);

/// Flushes a file, or a folder's list of names, to the medium; throws as write_file.
void flush_to_disk(const std::string &path);

} // namespace raybend
