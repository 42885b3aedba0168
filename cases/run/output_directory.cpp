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
  fs::path above = path.parent_path(); // the nearest that is there: those below it are made with the results
  while (!fs::exists(fs::symlink_status(above, error)) && above != above.root_path())
    above = above.parent_path();
  if (!fs::is_directory(fs::status(above, error)))
    return "--out " + out + ": " + above.string() + " is not a folder";
  try {
    // makes its hidden folder and, not committed, takes it away again
    const OutputFolder probe(above == path.parent_path() ? out : (above / ".raybend-tried").string());
  } catch (const std::runtime_error &problem) {
    return std::string("--out ") + out + ": " + problem.what();
  }
  return "";
}

} // namespace raybend
