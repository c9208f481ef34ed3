#include "app/offscreen.h"

namespace beatwitness {
namespace {

/// Before the application is made: what Qt remarks on its surroundings is no sentence for the user of a verb.
int& quietly(int& count) {
    qputenv("QT_QPA_PLATFORM", "offscreen");
    qInstallMessageHandler([](QtMsgType, const QMessageLogContext&, const QString&) {});
    return count;
}

}  // namespace

Offscreen::Offscreen() : application_{quietly(count_), words_} {}

}  // namespace beatwitness
