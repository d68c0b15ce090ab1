// The page's engine: what the WebAssembly module exports. Only the module is made with it.
//
// The page calls, texts being UTF-8 in the module's memory:
//   p = live_text(bytes)          room for a text that the next call takes
//   live_open(p, bytes)           the site, from packed_site; 1: it is one, 0: it is none
//   live_ask(p, bytes)            a question, "6;leak,pumping"; 1: there is an answer, 0: no
//   question live_answer_at(), live_answer_bytes()   the answer as JSON, see live_json, until the
//   next call
// The module asks of the page: page.progress(part done, 0..1). A failed integration ends in a trap;
// after one the module is to be thrown away.
#include "sim/live.hpp"

#define RESTWELL_EXPORT(name) extern "C" __attribute__((export_name(#name)))

extern "C" __attribute__((import_module("page"), import_name("progress"))) void page_progress(
    double part);

namespace {

std::string text, answer;
std::optional<restwell::LiveSite> site;

}  // namespace

RESTWELL_EXPORT(live_text) char* live_text(std::size_t bytes) {
  text.assign(bytes, '\0');
  return text.data();
}

RESTWELL_EXPORT(live_open) int live_open(const char* packed, std::size_t bytes) {
  site = restwell::unpacked_site({packed, bytes});
  return site ? 1 : 0;
}

RESTWELL_EXPORT(live_ask) int live_ask(const char* asked, std::size_t bytes) {
  const auto question = restwell::live_question({asked, bytes});
  if (!site || !question) return 0;
  answer = restwell::live_json(
      restwell::live_answer(*site, *question, {[](double part) { page_progress(part); }}));
  return 1;
}

RESTWELL_EXPORT(live_answer_at) const char* live_answer_at() { return answer.data(); }
RESTWELL_EXPORT(live_answer_bytes) std::size_t live_answer_bytes() { return answer.size(); }
