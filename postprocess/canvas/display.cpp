// The X display that the packaged VTK draws on.
#include "postprocess/canvas/display.hpp"
#include <X11/Xlib.h>
#include <cerrno>
#include <csignal>
#include <cstdlib>
#include <cstring>
#include <fcntl.h>
#include <poll.h>
#include <stdexcept>
#include <sys/prctl.h>
#include <sys/wait.h>
#include <unistd.h>

namespace raybend {

namespace {

/// A display that can be opened and has OpenGL. VTK ends the program if it cannot, so ask first.
bool usable(const char *name) {
  if (name == nullptr || *name == '\0')
    return false;
  ::Display *display = XOpenDisplay(name);
  if (display == nullptr)
    return false;
  int opcode, event, error;
  const bool has_gl = XQueryExtension(display, "GLX", &opcode, &event, &error) != 0;
  XCloseDisplay(display);
  return has_gl;
}

/// The number Xvfb writes, up to the line's end; empty if it ends or says nothing for 20 s.
std::string read_number(int pipe) {
  std::string text;
  for (;;) {
    pollfd wait = {pipe, POLLIN, 0};
    const int ready = ::poll(&wait, 1, 20000);
    if (ready < 0 && errno == EINTR)
      continue;
    char c;
    if (ready <= 0 || ::read(pipe, &c, 1) != 1)
      return "";
    if (c == '\n')
      return text;
    text += c;
  }
}

} // namespace

Display::Display() {
  const char *display = std::getenv("DISPLAY");
  had_display = display != nullptr;
  old_display = had_display ? display : "";
  ::setenv("LIBGL_ALWAYS_SOFTWARE", "1", 0);
  if (!usable(display))
    start();
}

Display::~Display() {
  stop();
  if (had_display)
    ::setenv("DISPLAY", old_display.c_str(), 1);
  else
    ::unsetenv("DISPLAY");
}

void Display::start() {
  int number[2], failure[2]; // the server's display number; why exec failed
  if (::pipe2(number, O_CLOEXEC) != 0)
    throw std::runtime_error(std::string("no pipe for the picture display: ") + std::strerror(errno));
  if (::pipe2(failure, O_CLOEXEC) != 0) {
    ::close(number[0]);
    ::close(number[1]);
    throw std::runtime_error(std::string("no pipe for the picture display: ") + std::strerror(errno));
  }

  const std::string number_argument = std::to_string(number[1]);
  const char *arguments[] = {"Xvfb",       "-displayfd", number_argument.c_str(),
                             "-screen",    "0",          "1280x1024x24",
                             "-nolisten",  "tcp",        "-noreset",
                             "+extension", "GLX",        nullptr};
  const pid_t parent = ::getpid();
  server = ::fork();
  if (server == 0) { // only calls that are safe after fork from here to exec
    ::prctl(PR_SET_PDEATHSIG, SIGKILL);
    if (::getppid() != parent)
      ::_exit(1);
    ::setpgid(0, 0); // Ctrl-C goes to the program, which then ends the server
    ::fcntl(number[1], F_SETFD, 0);
    const int null = ::open("/dev/null", O_RDWR);
    if (null >= 0)
      for (int standard : {0, 1, 2})
        ::dup2(null, standard);
    ::execvp("Xvfb", const_cast<char *const *>(arguments));
    const int reason = errno;
    if (::write(failure[1], &reason, sizeof reason) < 0)
      ::_exit(2);
    ::_exit(1);
  }
  const int fork_error = errno;
  ::close(number[1]);
  ::close(failure[1]);

  int reason = 0;
  const bool exec_failed = server > 0 && ::read(failure[0], &reason, sizeof reason) == sizeof reason;
  const std::string text = server > 0 && !exec_failed ? read_number(number[0]) : "";
  ::close(number[0]);
  ::close(failure[0]);

  if (server < 0)
    throw std::runtime_error(std::string("could not start Xvfb for the pictures: ") +
                             std::strerror(fork_error));
  if (exec_failed || text.empty()) {
    stop();
    if (exec_failed && reason == ENOENT)
      throw std::runtime_error(
          "pictures need an X display or the program Xvfb: install the package xvfb, or leave the "
          "pictures out with --no-pictures");
    throw std::runtime_error("Xvfb did not start" +
                             (exec_failed ? std::string(": ") + std::strerror(reason) : "") +
                             "; check the package xvfb, or leave the pictures out with --no-pictures");
  }
  ::setenv("DISPLAY", (":" + text).c_str(), 1);
}

void Display::stop() {
  if (server <= 0)
    return;
  ::kill(server, SIGTERM);
  for (int tenths = 0; tenths < 30; ++tenths) {
    if (::waitpid(server, nullptr, WNOHANG) == server) {
      server = -1;
      return;
    }
    ::usleep(100000);
  }
  ::kill(server, SIGKILL);
  ::waitpid(server, nullptr, 0);
  server = -1;
}

std::string why_no_display(std::optional<Display> &display) {
  try {
    display.emplace();
    return "";
  } catch (const std::runtime_error &error) {
    return error.what();
  }
}

std::string no_pictures_words(const std::string &why) {
  return "no pictures: " + why;
}

} // namespace raybend
