// The X display that the packaged VTK draws on.
#pragma once
#include <optional>
#include <string>
#include <sys/types.h>

namespace raybend {

/// Makes sure that DISPLAY names a display with OpenGL for as long as the object lives. If there is none,
/// starts a private one in memory (program Xvfb) on a free number, which ends with the object, or with this
/// process however it ends. Drawing is by software, so that pictures do not depend on the graphics card. One
/// at a time; make it before the first VTK window and keep it until the last is gone. Throws
/// std::runtime_error if Xvfb is missing or does not start.
class Display {
public:
  Display();
  ~Display();
  Display(const Display &) = delete;
  Display &operator=(const Display &) = delete;

  /// True if this object runs its own server.
  bool is_private() const { return server > 0; }

private:
  void start();
  void stop();

  pid_t server = -1;
  bool had_display = false;
  std::string old_display;
};

/// Makes the display; where that is not possible it stays empty and the reason is returned.
std::string why_no_display(std::optional<Display> &display);

/// For the list of files and the terminal: that the pictures are missing, and why.
std::string no_pictures_words(const std::string &why);

} // namespace raybend
