// Whether results can be written where they are wanted, tried before anything is calculated.
#include "cases/run/output_directory.hpp"
#include "postprocess/files/output_folder.hpp"
#include <filesystem>
#include <stdexcept>

namespace raybend {

std::string why_not_writable(const std::string &out) {
  namespace fs = std::filesystem;
  if (out.empty())
    return "--out: no folder named";
  fs::path path = fs::absolute(out).lexically_normal();
  if (path.filename().empty()) // trailing slash
    path = path.parent_path();
  std::error_code error;
  const fs::path above = path.parent_path();
  if (const fs::file_status status = fs::status(above, error); !fs::exists(status))
    return "--out " + out + ": the folder " + above.string() + " does not exist";
  else if (!fs::is_directory(status))
    return "--out " + out + ": " + above.string() + " is not a folder";
  try {
    const OutputFolder probe(out); // makes its hidden folder and, not committed, takes it away again
  } catch (const std::runtime_error &problem) {
    return std::string("--out ") + out + ": " + problem.what();
  }
  return "";
}

} // namespace raybend
