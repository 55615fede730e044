plugins {
    id("com.android.library")
}

android {
    namespace = "tautbook.phone"
    compileSdk = 36

    defaultConfig {
        minSdk = 24
    }
}
