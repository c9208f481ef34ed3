#pragma once

#include <gtest/gtest.h>

#include <QSettings>
#include <QTemporaryDir>
#include <functional>
#include <memory>

#include "app/windows/main_window.h"

namespace beatwitness::tests {

/// The real window on a scratch folder and scratch settings.
class WindowTest : public ::testing::Test {
protected:
    WindowTest();

    /// A CSV recording of one sample a second: rate(0), rate(1), … from 2031-03-02T09:00:00Z plus `late_s`.
    QString recordingFile(const QString& name, int seconds, const std::function<double(int)>& rate,
                          int late_s = 0);
    QString textFile(const QString& name, const QByteArray& content);
    /// As a file manager would: drag enter, then drop.
    void drop(const QStringList& paths);
    bool waitFor(const std::function<bool()>& condition);
    /// Drops strap.csv (120 bpm) and band.csv (117 bpm), 400 s each, and waits for the numbers.
    void openFlatPair();
    /// Drops a pair whose rate rises by 1 bpm every second up to 100 s; the band's clock is 5 s ahead.
    void openLatePair();

    [[nodiscard]] QString cell(const QString& row, int column) const;

    QTemporaryDir folder_;
    QSettings settings_;
    std::unique_ptr<app::MainWindow> window_;
};

}  // namespace beatwitness::tests
