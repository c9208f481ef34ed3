#include <gtest/gtest.h>

#include <QApplication>
#include <QByteArray>

/// main() of the widget tests: one QApplication without a display, whatever the machine has.
int main(int argc, char** argv) {
    if (!qEnvironmentVariableIsSet("QT_QPA_PLATFORM")) qputenv("QT_QPA_PLATFORM", "offscreen");
    ::testing::InitGoogleTest(&argc, argv);
    const QApplication app(argc, argv);
    return RUN_ALL_TESTS();
}
