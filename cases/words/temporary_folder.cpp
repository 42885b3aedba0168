#include "cases/words/temporary_folder.hpp"
#include <cstdlib>
#include <filesystem>
#include <stdexcept>

namespace raybend {

std::string temporary_folder() {
  std::error_code error;
  const std::filesystem::path path = std::filesystem::temp_directory_path(error);
  if (!error)
    return path.string();
  const char *set = std::getenv("TMPDIR");
  throw std::runtime_error((
      set ? "TMPDIR is \"" + std::string(set) + "\", which is no folder: set it to one that can be written"
          : std::string("the folder for temporary files is missing: set TMPDIR to one that can be written")));
}

} // namespace raybend
