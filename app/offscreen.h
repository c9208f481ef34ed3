#pragma once

#include <QGuiApplication>

namespace beatwitness {

/// Drawing without a display, for verbs; the application that Qt needs for it. Requires: no QApplication yet.
class Offscreen {
public:
    Offscreen();

private:
    int count_ = 1;
    char name_[12] = "beatwitness";
    char* words_[2] = {name_, nullptr};
    QGuiApplication application_;
};

}  // namespace beatwitness
